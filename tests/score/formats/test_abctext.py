"""ABC text cut into tunes and voices."""

from __future__ import annotations

from sonorarium.score.formats.abctext import abc_heading, file_header, tunes_of, without_mail_encoding

BOOK = "%abc\nM:3/4\nwords A B\n\nX:1\nT:One\nT:Two\nK:C\nABC|\n\nnot music\n\nX: 2 % old\nC:Anon.\nK:D\nDEF|\n"


def test_a_book() -> None:
    first, second = tunes_of(BOOK)
    assert (first.number, first.title, first.body) == ("1", "One", ("ABC|",))
    assert (second.number, second.title, second.body) == ("2", "", ("DEF|",))
    assert second.field("C") == ["Anon."]
    assert file_header(BOOK) == "M:3/4\n"
    assert abc_heading(BOOK).title == "One, and 1 more tune"


def test_one_voice_has_no_name_and_keeps_its_fields_in_place() -> None:
    (voice,) = tunes_of("X:1\nL:1/8\nK:C\nA|\nL:1/16\nB|\n")[0].voices()
    assert (voice.name, voice.lines) == ("", ("L:1/8", "K:C", "A|", "L:1/16", "B|"))


def test_fields_before_all_voices_hold_for_all() -> None:
    voices = tunes_of("X:1\nK:C\nM:2/4\n[V:A]C|[V:B]E|\n[V:A]D|\n")[0].voices()
    assert [(voice.name, voice.lines) for voice in voices] == [
        ("A", ("K:C", "M:2/4", "V:A", "C|", "V:A", "D|")),
        ("B", ("K:C", "M:2/4", "V:B", "E|")),
    ]


def test_voices_without_notes_are_no_parts() -> None:
    voices = tunes_of('X:1\nV:1 nm="Alto"\nV:2\nK:C\nV:1\nC|\nV:2\nw: la la\n')[0].voices()
    assert [voice.name for voice in voices] == ["Alto"]


def test_mail_encoding_never_touches_music() -> None:
    music = "=F =3F ==G A=B|\nN:ends with =\nM:3/4\n=====\nA|\n"
    assert without_mail_encoding(music) == music
