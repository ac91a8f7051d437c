//! Follows a path to the modules it touches: the ones it names and the one where the item is defined.

use crate::reading::{Module, Names, Tree};
use std::collections::BTreeSet;

/// What a path leads to.
#[derive(Debug, Default, Clone)]
pub struct Trace {
    /// Top-level modules that are named on the way or that define the item.
    pub touched: BTreeSet<String>,
    /// Modules at which the path ends.
    pub ends: BTreeSet<Names>,
    /// Whether the path leads anywhere inside the crate.
    pub found: bool,
}

impl Trace {
    fn add(&mut self, other: Self) {
        self.touched.extend(other.touched);
        self.ends.extend(other.ends);
        self.found |= other.found;
    }

    fn touch(&mut self, module: &Names) {
        self.touched.extend(module.first().cloned());
    }
}

/// What a trace has passed already: re-exports and globs may run in circles.
#[derive(Debug, Default)]
struct Seen {
    /// Steps taken: module, rest of the path, whether names of function bodies count.
    steps: BTreeSet<(Names, Names, bool)>,
    /// Globs whose own path is being followed, by module and path.
    globs: BTreeSet<(Names, Names)>,
}

/// Two imports that lead into each other make the path longer with every step; no path that is meant is this long.
const LONGEST_PATH: usize = 16;

impl Tree {
    /// What `path`, written in `module`, leads to. A path that starts with no name of this crate leads nowhere: it is
    /// another crate's, or a local variable.
    pub fn trace(&self, module: &Names, path: &Names) -> Trace {
        self.written(module, path, &mut Seen::default())
    }

    fn written(&self, module: &Names, path: &Names, seen: &mut Seen) -> Trace {
        match path.split_first() {
            Some((first, rest)) if first == "crate" => self.walk(&vec![], rest, seen, false),
            Some((first, rest)) if first == "self" && !rest.is_empty() => self.walk(module, rest, seen, false),
            Some((first, _)) if first == "super" => self.walk(module, path, seen, false),
            Some(_) => self.walk(module, path, seen, true),
            None => Trace::default(),
        }
    }

    /// From a module on; `inside` also sees the names that function bodies of this module bring in.
    fn walk(&self, at: &Names, rest: &[String], seen: &mut Seen, inside: bool) -> Trace {
        let mut trace = Trace::default();
        let Some(module) = self.modules.get(at) else { return trace };
        if rest.len() > LONGEST_PATH {
            return trace;
        }
        if !seen.steps.insert((at.clone(), rest.to_vec(), inside)) {
            return trace;
        }
        let Some((name, rest)) = rest.split_first() else {
            trace.touch(at);
            trace.ends.insert(at.clone());
            trace.found = true;
            return trace;
        };
        if name == "super" || name == "self" {
            let mut up = at.clone();
            if name == "super" {
                up.pop();
            }
            return self.walk(&up, rest, seen, false);
        }
        if module.children.contains(name) {
            let below: Names = at.iter().cloned().chain([name.clone()]).collect();
            trace.add(self.walk(&below, rest, seen, false));
        }
        if module.items.contains(name) {
            trace.touch(at);
            trace.found = true;
        }
        if at.is_empty()
            && let Some((defined, _)) = self.macros.get(name)
        {
            // An exported macro is named at the root, wherever it is defined.
            trace.touch(defined);
            trace.found = true;
        }
        for target in Self::imported(module, name, inside) {
            trace.touch(at);
            let whole: Names = target.iter().chain(rest).cloned().collect();
            trace.add(self.through_import(at, target, &whole, name, seen));
            // Another crate's item under a name of this module.
            trace.found = true;
        }
        if !trace.found {
            trace.add(self.through_globs(at, module, name, rest, seen, inside));
        }
        if !trace.found && !inside {
            trace.touch(at);
        }
        trace
    }

    fn imported<'a>(module: &'a Module, name: &str, inside: bool) -> Vec<&'a Names> {
        let local = module.local_imports.get(name).filter(|_| inside);
        module.imports.get(name).into_iter().chain(local).flatten().collect()
    }

    /// `use serde::de` names another crate, although `serde` could be looked up here: an import never leads to itself.
    fn through_import(&self, at: &Names, target: &Names, whole: &Names, name: &str, seen: &mut Seen) -> Trace {
        if target.first().is_some_and(|first| first == name) && !self.modules[at].children.contains(name) {
            return Trace::default();
        }
        self.written(at, whole, seen)
    }

    fn through_globs(
        &self,
        at: &Names,
        module: &Module,
        name: &String,
        rest: &[String],
        seen: &mut Seen,
        inside: bool,
    ) -> Trace {
        let mut trace = Trace::default();
        let mut perhaps = Trace::default();
        let wanted: Names = std::iter::once(name).chain(rest).cloned().collect();
        let local = module.local_globs.iter().filter(|_| inside);
        for glob in module.globs.iter().chain(local) {
            let key = (at.clone(), glob.clone());
            if seen.globs.contains(&key) {
                continue;
            }
            let mut fresh = Seen { steps: BTreeSet::new(), globs: seen.globs.clone() };
            fresh.globs.insert(key);
            for target in self.written(at, glob, &mut fresh).ends {
                let below = self.walk(&target, &wanted, seen, false);
                if below.found {
                    trace.add(below);
                } else if self.modules[&target].generates {
                    // The name may come out of a macro there.
                    perhaps.touch(&target);
                }
            }
        }
        if trace.found { trace } else { perhaps }
    }
}
