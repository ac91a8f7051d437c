//! Reads a JSON text so that every complaint carries its place and, for an unknown key, the nearest known one.
//!
//! [`tree`] turns text into a tree and refuses what JSON itself leaves open (keys that stand twice, sizes without
//! bound); [`node`] lets `serde` read types from the tree with errors of this crate's own.

mod node;
mod tree;

use crate::error::{Error, Place};
use serde::de::DeserializeOwned;

/// Reads a value of type `T` from a JSON text of format `supported` or older. The format is looked at first: a newer
/// one has keys that would otherwise be called unknown.
///
/// # Errors
/// Every error of the form of the text, each with its JSON pointer.
pub(crate) fn read<T: DeserializeOwned>(text: &str, supported: u64) -> Result<T, Error> {
    let tree = tree::parse(text)?;
    if let Some(found) = tree.key("format").and_then(tree::Tree::whole_number)
        && found > supported
    {
        return Err(Error::NewerFormat { found, supported, place: Place::root().child("format") });
    }
    T::deserialize(node::Node::root(&tree)).map_err(node::Failure::into_error)
}
