"""Readers of file formats: MusicXML, MEI, Humdrum, ABC, MIDI."""
