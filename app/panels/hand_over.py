"""The Hand-over step: what can leave the program, and the cautions that go with it."""

from collections.abc import Mapping, Sequence

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app import theme
from app.panels.scroll import Scroll
from app.panels.words import Line, Word
from app.theme import Style


class HandOver(QWidget):
    """One word for each thing that can be handed over, and what the answer rests on."""

    def __init__(
        self, style: Style, actions: Mapping[str, QAction], names: Sequence[tuple[str, str]], parent: QWidget | None = None
    ) -> None:
        """`names`: actions and what each gives."""
        super().__init__(parent)
        self._style = style
        self.setAccessibleName(self.tr("Hand-over"))
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(4)
        column.addWidget(Line(style, self.tr("What can be handed over"), size=theme.HEAD, weight=theme.SEMIBOLD))
        for name, gives in names:
            word = Word(style, actions[name].text())
            word.clicked.connect(actions[name].trigger)
            column.addWidget(word)
            column.addWidget(Line(style, gives, size=theme.DATA, tone="quiet", wrap=True))
        column.addSpacing(8)
        self._told = Line(style, size=theme.DATA, tone="quiet", wrap=True)
        self._told.setAlignment(Qt.AlignmentFlag.AlignTop | Qt.AlignmentFlag.AlignLeft)
        # In a low window it scrolls, by the keys too: no caution may be cut off.
        rest = Scroll(style, self._told)
        rest.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        rest.setAccessibleName(self.tr("What the answer rests on"))
        column.addWidget(rest, 1)

    def say(self, sentences: Sequence[str]) -> None:
        """What the answer rests on and leaves out, and the caution."""
        self._told.say("\n\n".join(sentences))

    def words(self) -> str:
        """What stands under the things to hand over."""
        return self._told.whole()
