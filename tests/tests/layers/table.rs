//! The layers of rigging-core, as the architecture draws them.

/// What a module may name.
#[derive(Debug, Clone, Copy)]
pub enum May {
    /// Every module of the layers up to this one.
    UpTo(u8),
    /// The modules listed, and no other.
    Only(&'static [&'static str]),
    /// Every module of the layers up to this one, and the modules listed.
    UpToAnd(u8, &'static [&'static str]),
}

/// One top-level module.
#[derive(Debug, Clone, Copy)]
pub struct Row {
    /// Layer, 0 the lowest.
    pub layer: u8,
    /// Name of the module.
    pub module: &'static str,
    /// What it may name.
    pub may: May,
}

const fn row(layer: u8, module: &'static str, may: May) -> Row {
    Row { layer, module, may }
}

/// Physics knows no standard (`equilibrium` names `system` and nothing of the trade) and standards know no geometry
/// (`rules` never names `arrangement`).
pub const TABLE: &[Row] = &[
    row(0, "text", May::Only(&[])),
    row(0, "source", May::Only(&["text"])),
    row(0, "error", May::Only(&["text"])),
    row(0, "digest", May::Only(&[])),
    row(0, "quantity", May::Only(&["error", "text"])),
    row(0, "chain", May::UpTo(0)),
    row(1, "gear", May::UpTo(0)),
    row(2, "arrangement", May::UpTo(1)),
    row(2, "rules", May::UpTo(1)),
    row(2, "length", May::UpTo(2)),
    row(2, "system", May::UpTo(2)),
    row(3, "equilibrium", May::UpToAnd(0, &["system"])),
    row(4, "sharing", May::UpTo(3)),
    row(4, "statics", May::UpTo(3)),
    row(4, "contact", May::UpTo(3)),
    row(4, "demand", May::UpTo(4)),
    row(4, "capacity", May::UpTo(4)),
    row(4, "service", May::UpTo(2)),
    row(5, "checks", May::UpTo(4)),
    row(6, "matching", May::UpTo(5)),
    row(6, "choice", May::UpTo(5)),
    row(6, "plan", May::UpTo(5)),
    row(7, "report", May::UpTo(6)),
    row(7, "schema", May::UpToAnd(6, &["report", "kit"])),
    row(7, "kit", May::UpTo(6)),
];

/// The row of a module.
pub fn find(module: &str) -> Option<&'static Row> {
    TABLE.iter().find(|row| row.module == module)
}

impl Row {
    /// The modules it may name.
    pub fn allowed(&self) -> Vec<&'static str> {
        let below = |limit: u8| TABLE.iter().filter(move |row| row.layer <= limit).map(|row| row.module);
        let mut names: Vec<&str> = match self.may {
            May::UpTo(limit) => below(limit).collect(),
            May::Only(names) => names.to_vec(),
            May::UpToAnd(limit, names) => below(limit).chain(names.iter().copied()).collect(),
        };
        names.retain(|name| *name != self.module);
        names
    }
}

#[test]
fn the_two_absences_stand_in_the_table() {
    let allowed = |module| find(module).unwrap().allowed();
    assert_eq!(allowed("equilibrium"), ["text", "source", "error", "digest", "quantity", "chain", "system"]);
    assert_eq!(allowed("rules"), ["text", "source", "error", "digest", "quantity", "chain", "gear"]);
    assert_eq!(allowed("quantity"), ["error", "text"]);
    assert_eq!(allowed("source"), ["text"]);
    assert_eq!(allowed("error"), ["text"]);
    assert!(allowed("text").is_empty());
    // Nothing names a higher layer, and no module stands twice.
    for row in TABLE {
        assert_eq!(TABLE.iter().filter(|other| other.module == row.module).count(), 1, "{}", row.module);
        for name in row.allowed() {
            assert!(find(name).unwrap().layer <= row.layer, "{} names {name}", row.module);
        }
    }
}
