"""Load distribution, capacity derating and assessment of multi-leg lifts.

Results support, and never replace, the planning of the competent person; local codes and licensed practice prevail.

Examples
--------
>>> import rigging_py
>>> rigging_py.__version__.count(".")
2
"""

from ._errors import (
    AmbiguousUnitError,
    BareNumberError,
    DuplicateKeyError,
    DuplicateNameError,
    InconsistentError,
    InternalError,
    MalformedError,
    MissingError,
    NewerFormatError,
    OutOfDomainError,
    RiggingError,
    TooLargeError,
    UnconvergedError,
    UnknownKeyError,
    UnknownNameError,
    UnsupportedError,
    WrongUnitError,
)
from ._native import Assessment, Certificate, Lift, RuleSet, __version__

__all__ = [
    "AmbiguousUnitError",
    "Assessment",
    "BareNumberError",
    "Certificate",
    "DuplicateKeyError",
    "DuplicateNameError",
    "InconsistentError",
    "InternalError",
    "Lift",
    "MalformedError",
    "MissingError",
    "NewerFormatError",
    "OutOfDomainError",
    "RiggingError",
    "RuleSet",
    "TooLargeError",
    "UnconvergedError",
    "UnknownKeyError",
    "UnknownNameError",
    "UnsupportedError",
    "WrongUnitError",
    "__version__",
]
