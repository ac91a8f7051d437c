//! The digest of a canonical text: two texts with one digest are the same, so that a stranger can tell whether anything
//! changed.

use std::fmt::Write;

/// SHA-256 in lower-case hexadecimal.
///
/// ```
/// // The digest of the empty text, as FIPS 180-4 gives it.
/// let empty = "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855";
/// assert_eq!(rigging_core::digest::sha256("").as_str(), empty);
/// ```
pub fn sha256(text: &str) -> String {
    hmac_sha256::Hash::hash(text.as_bytes()).iter().fold(String::new(), |mut digest, byte| {
        // Writing to a String cannot fail.
        let _ = write!(digest, "{byte:02x}");
        digest
    })
}
