"""How a sum says no: a code and values, never a sentence."""

from __future__ import annotations


class Refusal(ValueError):
    """A sum was asked for something outside its range, or that its source does not allow.

    ``code`` is said by ``hulllog.words`` under ``refusal.<code>``; ``values`` fill the sentence.
    """

    def __init__(self, code: str, **values: object) -> None:
        super().__init__(code, values)
        self.code = code
        self.values = values

    def __str__(self) -> str:
        shown = ", ".join(f"{key}={value}" for key, value in self.values.items())
        return f"{self.code}({shown})"
