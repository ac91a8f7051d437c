//! The committed JSON Schemas are what the types say. `RIGGING_REWRITE=1` writes them anew.

use rigging_core::schema;
use std::path::Path;

#[test]
fn the_committed_schemas_are_fresh() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../rigging-core/schema");
    let files = schema::files().unwrap();
    for (name, text) in &files {
        let path = folder.join(name);
        if std::env::var_os("RIGGING_REWRITE").is_some() {
            std::fs::write(&path, text).unwrap();
        }
        let committed = std::fs::read_to_string(&path).unwrap_or_default();
        assert!(committed == *text, "{name} is stale; run with RIGGING_REWRITE=1");
    }
    println!("{} schemas compared", files.len());
}
