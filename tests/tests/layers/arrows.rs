//! Every arrow between top-level modules, compared with the table.

use crate::reading::{self, Mention, Names, Site};
use crate::sources::{self, Sources};
use crate::table;
use std::collections::{BTreeMap, BTreeSet};

/// What was found in a crate.
#[derive(Debug, Default)]
pub struct Findings {
    /// Complaints, "file:line: reason", in order.
    pub complaints: Vec<String>,
    /// Arrows between top-level modules, with the first place of each.
    pub arrows: BTreeMap<(String, String), Site>,
    /// Top-level modules.
    pub modules: BTreeSet<String>,
    /// Paths that were followed.
    pub mentions: usize,
}

/// Reads and judges a crate.
pub fn judge(sources: &Sources) -> Findings {
    let tree = reading::read(sources);
    let mut findings = Findings { modules: tree.modules[&Names::new()].children.clone(), ..Findings::default() };
    let mut complaints: BTreeSet<(Site, String)> = BTreeSet::new();
    for fault in &tree.faults {
        complaints.insert((fault.site.clone(), fault.what.clone()));
    }
    for module in findings.modules.iter().filter(|module| table::find(module).is_none()) {
        let site = Site { file: "lib.rs".into(), line: 1 };
        complaints.insert((site, format!("the module {module} is not in the table of layers")));
    }
    // A macro's body is expanded where it is called: its paths are mentioned there as well.
    let mut mentions: Vec<(Mention, String)> =
        tree.mentions.iter().map(|mention| (mention.clone(), mention.path.join("::"))).collect();
    for call in &tree.calls {
        let Some((defined, body)) = tree.macros.get(&call.path[0]) else { continue };
        let path = ["crate".to_owned()].into_iter().chain(defined.iter().cloned()).collect();
        mentions.push((Mention { path, ..call.clone() }, format!("{}!", call.path[0])));
        for inner in body {
            let mention = Mention { path: inner.path.clone(), ..call.clone() };
            mentions.push((mention, format!("{}! with {}", call.path[0], inner.path.join("::"))));
        }
    }
    findings.mentions = mentions.len();
    for (mention, written) in mentions {
        let Some(from) = mention.module.first() else { continue };
        let trace = tree.trace(&mention.module, &mention.path);
        let rooted = matches!(mention.path[0].as_str(), "crate" | "super" | "self") && mention.path.len() > 1;
        if rooted && !trace.found && trace.touched.is_empty() {
            complaints.insert((mention.site.clone(), format!("`{written}` leads nowhere")));
        }
        for to in trace.touched.iter().filter(|to| *to != from) {
            let first = findings.arrows.entry((from.clone(), to.clone())).or_insert_with(|| mention.site.clone());
            if mention.site < *first {
                *first = mention.site.clone();
            }
            let Some(row) = table::find(from) else { continue };
            let allowed = row.allowed();
            if !allowed.contains(&to.as_str()) {
                let allowed = if allowed.is_empty() { "nothing".into() } else { allowed.join(", ") };
                let what = format!("{from} may not name {to} (`{written}`); it may name {allowed}");
                complaints.insert((mention.site.clone(), what));
            }
        }
    }
    if let Some(circle) = circle(&findings.arrows) {
        let site = findings.arrows[&(circle[0].clone(), circle[1].clone())].clone();
        complaints.insert((site, format!("modules name each other in a circle: {}", circle.join(" → "))));
    }
    findings.complaints = complaints
        .into_iter()
        .map(|(site, what)| format!("rigging-core/src/{}:{}: {what}", site.file, site.line))
        .collect();
    findings
}

/// A circle of arrows, its first module repeated at the end.
fn circle(arrows: &BTreeMap<(String, String), Site>) -> Option<Names> {
    let mut left: BTreeSet<&(String, String)> = arrows.keys().collect();
    // Arrows into a module that names nothing, or out of one that nothing names, are on no circle.
    loop {
        let before = left.len();
        let (from, to): (BTreeSet<&String>, BTreeSet<&String>) = left.iter().map(|(from, to)| (from, to)).unzip();
        left.retain(|(source, target)| to.contains(source) && from.contains(target));
        if left.len() == before {
            break;
        }
    }
    let mut path: Names = vec![left.first()?.0.clone()];
    loop {
        let next = &left.iter().find(|(from, _)| from == path.last().unwrap())?.1;
        if let Some(start) = path.iter().position(|module| module == next) {
            path.drain(..start);
            path.push(next.clone());
            return Some(path);
        }
        path.push(next.clone());
    }
}

#[test]
fn every_arrow_of_the_core_is_allowed() {
    let sources = sources::of_the_core();
    let findings = judge(&sources);
    println!(
        "{} files, {} modules, {} paths followed, {} arrows",
        sources.len(),
        findings.modules.len(),
        findings.mentions,
        findings.arrows.len()
    );
    for ((from, to), site) in &findings.arrows {
        println!("  {from} → {to} (first at {}:{})", site.file, site.line);
    }
    assert!(findings.complaints.is_empty(), "\n{}", findings.complaints.join("\n"));
    assert!(findings.arrows.contains_key(&("chain".into(), "source".into())), "the reader sees no arrow at all");
}
