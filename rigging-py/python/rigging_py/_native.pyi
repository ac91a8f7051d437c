"""The native module; import from ``rigging_py`` instead."""

__all__ = ["__version__", "_panic", "_raise"]

__version__: str

def _panic() -> None: ...
def _raise(json: str) -> None: ...
