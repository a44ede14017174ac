"""The one exception family. Problems found *in the content* are `Finding` values, never exceptions."""


class WitnessmarkError(Exception):
    """Stops the work. The message is one sentence that says what to do next; exit status 2."""
