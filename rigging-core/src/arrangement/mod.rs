//! The lift document.
