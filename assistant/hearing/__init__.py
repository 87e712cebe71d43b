"""Hearing: from sound to words that may be trusted.

    source ── voice_activity ── utterance ── recogniser ── accept ── events
      │
      ├ microphone   a real one, by sounddevice
      ├ recording    a WAV file: the official stand-in
      └ scripted     (recogniser) words without sound: the official stand-in

``listener`` runs the whole of it on one thread. Nothing here knows the measurement language: the grammar and the
parser are passed in.
"""
