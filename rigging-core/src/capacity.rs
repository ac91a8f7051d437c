//! What an item may bear.
