//! Number and dimension: parse, print, convert.
