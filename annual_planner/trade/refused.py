"""What is said to a person when their input can't be taken."""


class Refused(Exception):  # noqa: N818 - 'refused' is the word people read; it is not a program error
    """An input that can't be taken: what happened and what to do, in the trade's words.

    Everything else that is raised is a fault of the program.
    """

    passing = False
    """Nothing is wrong with what was asked: it may be answered when it is asked again."""
    stale = False
    """What the person looks at is no longer so: it has to be read again."""

    def __init__(self, said: str, remedy: str = "", *, about: str = "") -> None:
        self.said = said
        self.remedy = remedy
        self.about = about
        """What has to be set up first: 'shop' for hours, people and bays; empty for nothing of that kind."""
        between = "\n" if "\n" in said else " "  # a list of faults ends before what to do begins
        super().__init__(f"{said}{between}{remedy}".strip())
