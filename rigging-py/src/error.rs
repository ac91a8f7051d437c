//! The core's errors as Python exceptions.
//!
//! The classes are defined in Python (`rigging_py._errors`): only there can they inherit from `ValueError`.

use pyo3::PyErr;
use pyo3::prelude::*;
use rigging_core::error::{Error, Place};

mod class {
    //! The classes; a module of their own because the macro documents nothing.
    #![allow(missing_docs)]

    macro_rules! import {
        ($($name:ident),+) => { $(pyo3::import_exception!(rigging_py._errors, $name);)+ };
    }
    import!(
        OutOfDomainError,
        MissingError,
        UnsupportedError,
        InconsistentError,
        DuplicateNameError,
        UnknownNameError,
        MalformedError,
        UnknownKeyError,
        DuplicateKeyError,
        BareNumberError,
        AmbiguousUnitError,
        WrongUnitError,
        NewerFormatError,
        TooLargeError,
        UnconvergedError,
        InternalError
    );
}

/// The exception that stands for an error.
pub(crate) fn exception(error: &Error) -> PyErr {
    let arguments = (error.reason(), error.place().as_str().to_owned());
    match error.code() {
        "out_of_domain" => class::OutOfDomainError::new_err(arguments),
        "missing" => class::MissingError::new_err(arguments),
        "unsupported" => class::UnsupportedError::new_err(arguments),
        "inconsistent" => class::InconsistentError::new_err(arguments),
        "duplicate_name" => class::DuplicateNameError::new_err(arguments),
        "unknown_name" => class::UnknownNameError::new_err(arguments),
        "malformed" => class::MalformedError::new_err(arguments),
        "unknown_key" => class::UnknownKeyError::new_err(arguments),
        "duplicate_key" => class::DuplicateKeyError::new_err(arguments),
        "bare_number" => class::BareNumberError::new_err(arguments),
        "ambiguous_unit" => class::AmbiguousUnitError::new_err(arguments),
        "wrong_unit" => class::WrongUnitError::new_err(arguments),
        "newer_format" => class::NewerFormatError::new_err(arguments),
        "too_large" => class::TooLargeError::new_err(arguments),
        "unconverged" => class::UnconvergedError::new_err(arguments),
        code => internal(&format!("the error \"{code}\" has no exception: {error}")),
    }
}

/// The error that an exception of this package stands for where it is raised to refuse; none for any other.
pub(crate) fn refusal(py: Python<'_>, raised: &PyErr) -> Option<Error> {
    let missing = raised.is_instance_of::<class::MissingError>(py);
    let outside = raised.is_instance_of::<class::OutOfDomainError>(py);
    if !missing && !outside && !raised.is_instance_of::<class::UnsupportedError>(py) {
        return None;
    }
    let text = |name| raised.value(py).getattr(name).and_then(|text| text.extract::<String>()).unwrap_or_default();
    let (reason, place) = (text("reason"), Place::pointer(text("place")));
    Some(match reason.split_once(" is missing; add ") {
        Some((what, add)) if missing => Error::missing(what.to_owned(), add.to_owned(), place),
        None if missing => Error::missing(reason, "it", place),
        _ if outside => Error::unsupported(format!("out of the domain of the rule: {reason}"), place),
        _ => Error::unsupported(reason.strip_prefix("not calculated: ").unwrap_or(&reason).to_owned(), place),
    })
}

/// The exception that stands for a panic: an ordinary one, which `except Exception` catches.
pub(crate) fn internal(message: &str) -> PyErr {
    let reason = format!("a defect of the library stopped the calculation, please report it: {message}");
    class::InternalError::new_err((reason, String::new()))
}
