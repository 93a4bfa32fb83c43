"""The one error that a log can raise."""


class LogError(ValueError):
    """A log can't be read, with the physical line on which it begins to be wrong.

    Fields:
        line [-], scalar: the line, from 1, header counted.
        problem [-], text: what is wrong there, as the rest of the sentence.
    Valid range: made by ``read_log``; nothing is checked here.
    Example:
        >>> str(LogError(line=3, problem="the voltage is empty")), LogError(line=3, problem="").line
        ('Line 3: the voltage is empty.', 3)

    Source: the project's own rule.
    """

    def __init__(self, *, line: int, problem: str) -> None:
        """Keep the line beside the sentence."""
        super().__init__(f"Line {line}: {problem}.")
        self.line = line
        self.problem = problem
