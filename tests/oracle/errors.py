"""How a book or a request is refused."""


class Refused(Exception):
    """A refusal: `kind` is compared by tests, the message is for people."""

    def __init__(self, kind, message):
        super().__init__(message)
        self.kind = kind
