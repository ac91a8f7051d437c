//! The source files of the core, read whole.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

/// Text of each file, by its path below `src` with forward slashes.
pub type Sources = BTreeMap<String, String>;

/// The root of the workspace.
pub fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).parent().unwrap().to_path_buf()
}

/// Every source file of rigging-core.
pub fn of_the_core() -> Sources {
    let start = root().join("rigging-core/src");
    let mut sources = Sources::new();
    let mut open = vec![start.clone()];
    while let Some(directory) = open.pop() {
        for entry in std::fs::read_dir(&directory).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                open.push(path);
            } else if path.extension().is_some_and(|extension| extension == "rs") {
                let name = path.strip_prefix(&start).unwrap().to_str().unwrap().replace('\\', "/");
                sources.insert(name, std::fs::read_to_string(&path).unwrap());
            }
        }
    }
    assert!(sources.contains_key("lib.rs"), "rigging-core has no lib.rs");
    sources
}
