"""Compile the catalogue: resources/words/<language>/*.po into resources/locale.

Run it after every change of a .po file:  python resources/make_catalogue.py
The result depends on the sentences alone, so the same sentences give the same bytes.  A language
other than the base may have a ``terms.tsv``: words of the base and what stands for them there.  It
is applied to every sentence that the language does not word by itself.
"""

from __future__ import annotations

import io
import re
import sys
from collections import Counter
from pathlib import Path

from babel.messages.catalog import Catalog, Message
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po

HERE = Path(__file__).parent
SOURCE = HERE / "words"
TARGET = HERE / "locale"
BASE = "en_GB"

_CODE = re.compile(r"[a-zA-Z0-9_/%()-]+(\.[a-zA-Z0-9_/%()-]+)+")
_FIELD = re.compile(r"\{([a-z][a-z0-9_]*)\}")


class Wrong(ValueError):
    """The sentences break a rule of the catalogue; the text says which, and where."""


def languages() -> list[str]:
    """Return the languages that have sentences, the base first."""
    found = sorted(folder.name for folder in SOURCE.iterdir() if folder.is_dir())
    return sorted(found, key=lambda name: name != BASE)


def messages(language: str) -> dict[str, tuple[Path, Message]]:
    """Read all .po files of a language; raise Wrong where a code stands twice or breaks a rule."""
    found: dict[str, tuple[Path, Message]] = {}
    for path in sorted((SOURCE / language).glob("*.po")):
        _no_code_twice(path)
        with path.open("rb") as stream:
            catalogue = read_po(stream, locale=language, abort_invalid=True)
        for message in catalogue:
            if not message.id:
                continue
            code = code_of(message)
            if code in found:
                raise Wrong(f"{code} stands in {found[code][0].name} and in {path.name}")
            _check(code, message, path)
            found[code] = path, message
    return found


def _no_code_twice(path: Path) -> None:
    """Raise Wrong for a code that stands twice in one file, where a reader would take the last."""
    ids = re.findall(r'^msgid "(.+)"$', path.read_text(encoding="utf-8"), re.MULTILINE)
    twice = [code for code, count in Counter(ids).items() if count > 1]
    if twice:
        raise Wrong(f"{path.name}: {', '.join(twice)} stands twice")


def code_of(message: Message) -> str:
    """Return the code of a message, with or without a plural."""
    return message.id if isinstance(message.id, str) else message.id[0]


def texts(message: Message) -> list[str]:
    """Return the wordings of a message: one, or one for each plural form."""
    return [message.string] if isinstance(message.string, str) else list(message.string or ())


def fields(text: str) -> set[str]:
    """Return the named fields of a wording."""
    return set(_FIELD.findall(text))


def _check(code: str, message: Message, path: Path) -> None:
    place = f"{path.name}: {code}"
    if not _CODE.fullmatch(code):
        raise Wrong(f"{place} is no code: two or more parts with dots between")
    if isinstance(message.id, tuple) and message.id[1] != code:
        raise Wrong(f"{place}: msgid_plural must be the same code")
    for text in texts(message):
        if not text.strip() or text == code:
            raise Wrong(f"{place} has no wording")
        if re.search(r"[{}]", _FIELD.sub("", text)):
            raise Wrong(f"{place}: a brace that is no named field")


def terms(language: str) -> dict[str, str]:
    """Return the words that another language puts for words of the base."""
    path = SOURCE / language / "terms.tsv"
    if not path.exists():
        return {}
    rows = (line.partition("\t") for line in path.read_text(encoding="utf-8").splitlines())
    return {ours: theirs for ours, _tab, theirs in rows}


def reworded(text: str, words: dict[str, str]) -> str:
    """Put other words into a sentence, never into its fields; a capital letter stays one."""

    def other(found: re.Match[str]) -> str:
        word = found[0]
        if word in words:
            return words[word]
        theirs = words[word[0].lower() + word[1:]]
        return theirs[0].upper() + theirs[1:]

    choices = sorted({*words, *(word[0].upper() + word[1:] for word in words)}, key=len)
    either = "|".join(re.escape(word) for word in reversed(choices))
    return re.sub(rf"(?<![\w{{-])(?:{either})(?![\w}}-])", other, text) if words else text


def worded(language: str) -> dict[str, Message]:
    """Return all messages of a language: its own, and those of the base with its terms."""
    own = {code: message for code, (_path, message) in messages(language).items()}
    words = terms(language)
    if language == BASE or not words:
        return own
    for code, (_path, message) in messages(BASE).items():
        said = tuple(reworded(text, words) for text in texts(message))
        if code not in own and list(said) != texts(message):
            own[code] = Message(message.id, said if isinstance(message.id, tuple) else said[0])
    return own


def compiled(language: str) -> bytes:
    """Return the compiled catalogue of a language; raise Wrong when the sentences break a rule."""
    catalogue = _Plain(locale=language, domain="hulllog", header_comment="", fuzzy=False)
    for message in worded(language).values():
        catalogue.add(message.id, message.string)
    stream = io.BytesIO()
    write_mo(stream, catalogue)
    return stream.getvalue()


class _Plain(Catalog):
    """A catalogue whose header holds only what a reader needs: no dates, no names."""

    @property
    def mime_headers(self) -> list[tuple[str, str]]:
        return [
            ("MIME-Version", "1.0"),
            ("Content-Type", "text/plain; charset=utf-8"),
            ("Content-Transfer-Encoding", "8bit"),
            ("Plural-Forms", self.plural_forms),
        ]


def target(language: str) -> Path:
    """Return the path of the compiled catalogue of a language."""
    return TARGET / language / "LC_MESSAGES" / "hulllog.mo"


def main() -> int:
    """Compile all languages and say how many sentences each has."""
    base = messages(BASE)
    for language in languages():
        strange = set(messages(language)) - set(base)
        if strange:
            raise Wrong(f"{language} words codes that {BASE} does not: {sorted(strange)}")
        path = target(language)
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(compiled(language))
        print(f"{language}: {len(worded(language))} sentences")
    return 0


if __name__ == "__main__":
    sys.exit(main())
