"""Load distribution, capacity derating and assessment of multi-leg lifts.

Results support, and never replace, the planning of the competent person; local codes and licensed practice prevail.

Examples
--------
>>> import rigging_py
>>> rigging_py.__version__.count(".")
2
"""

from . import batch as batch
from . import kit as kit
from . import sharing as sharing
from . import testing as testing
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
from ._native import (
    Acceleration,
    Angle,
    Assessment,
    Balance,
    Certificate,
    ChokeAngle,
    Density,
    Duration,
    Force,
    Fraction,
    LegAngle,
    Length,
    Lift,
    LineLoad,
    Mass,
    Matrix,
    Pressure,
    RuleSet,
    STANDARD_GRAVITY,
    Speed,
    Stiffness,
    Temperature,
    __version__,
)

__all__ = [
    "Acceleration",
    "AmbiguousUnitError",
    "Angle",
    "Assessment",
    "Balance",
    "BareNumberError",
    "Certificate",
    "ChokeAngle",
    "Density",
    "DuplicateKeyError",
    "DuplicateNameError",
    "Duration",
    "Force",
    "Fraction",
    "InconsistentError",
    "InternalError",
    "LegAngle",
    "Length",
    "Lift",
    "LineLoad",
    "MalformedError",
    "Mass",
    "Matrix",
    "MissingError",
    "NewerFormatError",
    "OutOfDomainError",
    "Pressure",
    "RiggingError",
    "RuleSet",
    "STANDARD_GRAVITY",
    "Speed",
    "Stiffness",
    "Temperature",
    "TooLargeError",
    "UnconvergedError",
    "UnknownKeyError",
    "UnknownNameError",
    "UnsupportedError",
    "WrongUnitError",
    "__version__",
]
