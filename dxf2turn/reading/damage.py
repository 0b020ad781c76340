"""The two ways in which a single entity can fail. Both stay inside the stage.

Damage      a value that decides geometry is wrong: the whole file is refused, with the line
Unusable    the entity has no sensible shape: it is set aside with the reason, the rest is read
"""

from __future__ import annotations


class Damage(Exception):
    """A value that can't be trusted.

    text: what is wrong, for people; tag: index of the tag among all tags of the file, None when only the
    entity is known.
    """

    def __init__(self, text: str, tag: int | None = None) -> None:
        super().__init__(text)
        self.text = text
        self.tag = tag


class Unusable(Exception):
    """An entity that gives no curve and no note.

    reason: why, for people. serious: something a person should look at (a finding is made of it);
    otherwise the entity is listed under "set aside" only.
    """

    def __init__(self, reason: str, serious: bool = False) -> None:
        super().__init__(reason)
        self.reason = reason
        self.serious = serious
