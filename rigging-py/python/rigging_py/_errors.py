"""Exceptions: one class for each way in which a calculation can be refused.

An exception is not a failed check: an overloaded sling or an unstable equilibrium is a result, not an exception.
"""

from __future__ import annotations

from typing import ClassVar


class RiggingError(Exception):
    """Base of all exceptions of this package.

    Parameters
    ----------
    reason : str
        Why, in words.
    place : str, optional
        Where in the document: a JSON pointer (RFC 6901), empty for the whole document.

    Examples
    --------
    >>> error = MissingError("the mass is missing", "/load/mass")
    >>> print(error)
    /load/mass: the mass is missing
    >>> error.code, error.place, error.reason
    ('missing', '/load/mass', 'the mass is missing')
    >>> isinstance(error, ValueError)
    True
    """

    code: ClassVar[str] = ""
    """Name of the error: the same in Rust, C and Python."""

    reason: str
    place: str

    row: tuple[int, ...] | None = None
    """In a calculation over arrays, the index of the row; None anywhere else."""

    def __init__(self, reason: str, place: str = "") -> None:
        super().__init__(reason, place)
        self.reason = reason
        self.place = place

    def __str__(self) -> str:
        if self.row is not None:
            return f"row {self.row}: {self.reason}"
        return f"{self.place or 'the whole document'}: {self.reason}"


class OutOfDomainError(RiggingError, ValueError):
    """A value lies outside the range in which the calculation means anything."""

    code = "out_of_domain"


class MissingError(RiggingError, ValueError):
    """An input that the calculation needs is absent or stated as unknown."""

    code = "missing"


class UnsupportedError(RiggingError, ValueError):
    """The input is sound, but this library does not calculate it."""

    code = "unsupported"


class InconsistentError(RiggingError, ValueError):
    """Parts of the input contradict each other."""

    code = "inconsistent"


class DuplicateNameError(RiggingError, ValueError):
    """Two items of one kind carry the same name."""

    code = "duplicate_name"


class UnknownNameError(RiggingError, ValueError):
    """A name refers to nothing."""

    code = "unknown_name"


class MalformedError(RiggingError, ValueError):
    """The text is not a document of the expected form."""

    code = "malformed"


class UnknownKeyError(RiggingError, ValueError):
    """A key that the format does not have."""

    code = "unknown_key"


class DuplicateKeyError(RiggingError, ValueError):
    """A key stands twice in one object."""

    code = "duplicate_key"


class BareNumberError(RiggingError, ValueError):
    """A number without a unit where a dimension is needed."""

    code = "bare_number"


class AmbiguousUnitError(RiggingError, ValueError):
    """A unit that means several things, or an angle that does not say from where."""

    code = "ambiguous_unit"


class WrongUnitError(RiggingError, ValueError):
    """A unit that is not known, or that belongs to another quantity."""

    code = "wrong_unit"


class NewerFormatError(RiggingError, ValueError):
    """The document is of a newer format than this library reads."""

    code = "newer_format"


class TooLargeError(RiggingError, ValueError):
    """A text, list or document exceeds its limit of size or depth."""

    code = "too_large"


class UnconvergedError(RiggingError, RuntimeError):
    """The iteration ended without a state that could be certified: a defect of the library, worth reporting."""

    code = "unconverged"


class InternalError(RiggingError, RuntimeError):
    """The library stopped inside a calculation: a defect of the library, worth reporting."""

    code = "internal"
