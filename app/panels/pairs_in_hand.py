"""The pair in hand in the *Gaps* step's side panel: the words that change its rule, and its sentence where it is not checked."""

from app.document.desk import Desk
from app.panels.pairs_rule import PairRule
from app.theme import Style
from core.sweep.pair_stands import PairStand, pair_stand

PAIR = 2


class PairInHand(PairRule):
    """Watches the desk while it is on. The number of a pair that is checked stands with what is selected."""

    def __init__(self, style: Style, desk: Desk) -> None:
        super().__init__(style, desk)
        self._on = False
        for signal in (desk.project_shown, desk.prover.prepared, desk.answered, desk.chosen):
            signal.connect(self.refresh)
        self.hide()

    def set_on(self, *, on: bool) -> None:
        """Show the pair in hand, or nothing."""
        self._on = on
        self.refresh()

    def refresh(self) -> None:
        """Show what is asked of the pair in hand."""
        if self._on and self._desk.document.in_gesture:
            return
        stand = self.stand() if self._on else None
        checked = stand is not None and stand.asked.unchecked is None and self._desk.row is not None
        self.show_of([stand] if stand is not None else [], words_only=checked)

    def stand(self) -> PairStand | None:
        """How the pair in hand stands to the check; None where two bodies are not in hand."""
        choice, mechanism, project = self._desk.choice, self._desk.mechanism, self._desk.project
        if mechanism is None or project is None or choice.section is None or len(choice.bodies) != PAIR:
            return None
        return pair_stand(project, mechanism.linkage, mechanism.moving_pairs, choice.section, choice.bodies)
