//! Reads the modules of a crate and every path they mention, without resolving any.

use crate::sources::Sources;
use crate::tokens;
use proc_macro2::Span;
use std::collections::{BTreeMap, BTreeSet};
use syn::visit::{self, Visit};

/// A path of names from the root of the crate, or as written.
pub type Names = Vec<String>;

/// A place in the sources.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Site {
    /// File below `src`.
    pub file: String,
    /// Line, from 1.
    pub line: usize,
}

/// A path as written in a module.
#[derive(Debug, Clone)]
pub struct Mention {
    /// The module.
    pub module: Names,
    /// The path.
    pub path: Names,
    /// Where.
    pub site: Site,
}

/// A form that cannot be followed and is therefore not allowed.
#[derive(Debug, Clone)]
pub struct Fault {
    /// Where.
    pub site: Site,
    /// What is wrong.
    pub what: String,
}

/// What one module declares.
#[derive(Debug, Default)]
pub struct Module {
    /// Modules below it.
    pub children: BTreeSet<String>,
    /// Items defined here.
    pub items: BTreeSet<String>,
    /// Names brought in by `use` or by a type alias, with the path as written.
    pub imports: BTreeMap<String, Vec<Names>>,
    /// Globs, as written.
    pub globs: Vec<Names>,
    /// Names brought in inside function bodies; they are seen from this module only.
    pub local_imports: BTreeMap<String, Vec<Names>>,
    /// Globs inside function bodies.
    pub local_globs: Vec<Names>,
    /// A macro stands where items stand: names may be defined that are not seen here.
    pub generates: bool,
}

/// Everything read.
#[derive(Debug, Default)]
pub struct Tree {
    /// Modules by their path; the root is the empty path.
    pub modules: BTreeMap<Names, Module>,
    /// Paths mentioned in code.
    pub mentions: Vec<Mention>,
    /// Macros defined by `macro_rules!`: the module, and the paths their bodies mention.
    pub macros: BTreeMap<String, (Names, Vec<Mention>)>,
    /// Calls of macros by their last name: they expand the body where they stand.
    pub calls: Vec<Mention>,
    /// Forms that are not allowed.
    pub faults: Vec<Fault>,
}

/// Reads a crate from its `lib.rs` on.
pub fn read(sources: &Sources) -> Tree {
    let mut reader =
        Reader { sources, tree: Tree::default(), reached: vec![], exempt: vec![], stack: vec![], depth: 0 };
    reader.file("lib.rs", vec![]);
    for name in sources.keys() {
        let exempt = reader.exempt.iter().any(|start| name.starts_with(start.as_str()));
        if !exempt && !reader.reached.contains(name) {
            let site = Site { file: name.clone(), line: 1 };
            reader.tree.faults.push(Fault { site, what: "no module declaration leads to this file".into() });
        }
    }
    reader.tree
}

struct Reader<'a> {
    sources: &'a Sources,
    tree: Tree,
    reached: Vec<String>,
    exempt: Vec<String>,
    /// File and module being read.
    stack: Vec<(String, Names)>,
    /// Depth of function bodies.
    depth: usize,
}

impl Reader<'_> {
    fn file(&mut self, name: &str, module: Names) {
        let parsed = match syn::parse_file(&self.sources[name]) {
            Ok(parsed) => parsed,
            Err(error) => panic!("rigging-core/src/{name}:{}: {error}", error.span().start().line),
        };
        self.reached.push(name.to_owned());
        self.tree.modules.entry(module.clone()).or_default();
        self.stack.push((name.to_owned(), module));
        let depth = std::mem::take(&mut self.depth);
        self.visit_file(&parsed);
        self.depth = depth;
        self.stack.pop();
    }

    fn name_of_module(&self) -> Names {
        self.stack.last().unwrap().1.clone()
    }

    fn module(&mut self) -> &mut Module {
        let name = self.name_of_module();
        self.tree.modules.get_mut(&name).unwrap()
    }

    fn site(&self, span: Span) -> Site {
        Site { file: self.stack.last().unwrap().0.clone(), line: span.start().line }
    }

    fn fault(&mut self, span: Span, what: &str) {
        let site = self.site(span);
        self.tree.faults.push(Fault { site, what: what.into() });
    }

    fn mention(&mut self, path: Names, span: Span) -> Mention {
        Mention { module: self.name_of_module(), path, site: self.site(span) }
    }

    fn import(&mut self, name: String, path: Names) {
        let local = self.depth > 0;
        let module = self.module();
        let imports = if local { &mut module.local_imports } else { &mut module.imports };
        imports.entry(name).or_default().push(path);
    }

    fn use_tree(&mut self, tree: &syn::UseTree, prefix: &Names) {
        let joined = |name: &syn::Ident| prefix.iter().cloned().chain([name.to_string()]).collect::<Names>();
        match tree {
            syn::UseTree::Path(part) => self.use_tree(&part.tree, &joined(&part.ident)),
            syn::UseTree::Group(group) => group.items.iter().for_each(|item| self.use_tree(item, prefix)),
            syn::UseTree::Glob(glob) => {
                let mention = self.mention(prefix.clone(), glob.star_token.spans[0]);
                self.tree.mentions.push(mention);
                let local = self.depth > 0;
                let module = self.module();
                let globs = if local { &mut module.local_globs } else { &mut module.globs };
                globs.push(prefix.clone());
            }
            syn::UseTree::Name(name) => {
                // `use a::{self}` brings in `a`.
                let path = if name.ident == "self" { prefix.clone() } else { joined(&name.ident) };
                let mention = self.mention(path.clone(), name.ident.span());
                self.tree.mentions.push(mention);
                if let Some(last) = path.last().cloned() {
                    self.import(last, path);
                }
            }
            syn::UseTree::Rename(rename) => {
                let path = if rename.ident == "self" { prefix.clone() } else { joined(&rename.ident) };
                let mention = self.mention(path.clone(), rename.ident.span());
                self.tree.mentions.push(mention);
                if rename.rename != "_" {
                    self.import(rename.rename.to_string(), path);
                }
            }
        }
    }

    /// The paths in the tokens of a macro or an attribute.
    fn tokens(&mut self, tokens: proc_macro2::TokenStream, strings: bool) -> Vec<Mention> {
        let found = tokens::scan(tokens, strings);
        for item in &found.uses {
            // A `use` inside a macro may end up inside a function or outside; it is taken as seen from this module.
            self.depth += 1;
            self.use_tree(&item.tree, &vec![]);
            self.depth -= 1;
        }
        for (name, span) in found.calls {
            let call = self.mention(vec![name], span);
            self.tree.calls.push(call);
        }
        for span in found.unknown {
            self.fault(span, "a macro parameter chooses the module of this path: it cannot be followed");
        }
        found.paths.into_iter().map(|(path, span)| self.mention(path, span)).collect()
    }

    fn declare(&mut self, ident: &syn::Ident) {
        if self.depth == 0 {
            self.module().items.insert(ident.to_string());
        }
    }
}

impl<'ast> Visit<'ast> for Reader<'_> {
    fn visit_item(&mut self, item: &'ast syn::Item) {
        if let syn::Item::Mod(item) = item
            && only_for_tests(&item.attrs)
            && item.content.is_none()
        {
            let path: Names = self.name_of_module().into_iter().chain([item.ident.to_string()]).collect();
            self.exempt.push(format!("{}.rs", path.join("/")));
            self.exempt.push(format!("{}/", path.join("/")));
        }
        if only_for_tests(attributes(item)) {
            return;
        }
        match item {
            syn::Item::Const(item) => self.declare(&item.ident),
            syn::Item::Enum(item) => self.declare(&item.ident),
            syn::Item::Fn(item) => self.declare(&item.sig.ident),
            syn::Item::Static(item) => self.declare(&item.ident),
            syn::Item::Struct(item) => self.declare(&item.ident),
            syn::Item::Trait(item) => self.declare(&item.ident),
            syn::Item::TraitAlias(item) => self.declare(&item.ident),
            syn::Item::Union(item) => self.declare(&item.ident),
            syn::Item::Type(item) => match &*item.ty {
                // An alias is another name for the same type, like a `use` with a rename.
                syn::Type::Path(path) if path.qself.is_none() && path.path.leading_colon.is_none() => {
                    self.import(item.ident.to_string(), names(&path.path));
                }
                _ => self.declare(&item.ident),
            },
            syn::Item::Macro(item) if item.ident.is_none() && self.depth == 0 => self.module().generates = true,
            syn::Item::ExternCrate(item) if item.ident == "self" => {
                self.fault(item.ident.span(), "the crate gives itself a second name");
            }
            _ => {}
        }
        let root = self.name_of_module().is_empty() && self.depth == 0;
        if root && !matches!(item, syn::Item::Mod(_) | syn::Item::Use(_)) {
            self.fault(syn::spanned::Spanned::span(item), "the root holds modules and re-exports only");
        }
        visit::visit_item(self, item);
    }

    fn visit_item_mod(&mut self, item: &'ast syn::ItemMod) {
        if self.depth > 0 {
            self.fault(item.ident.span(), "a module inside a function");
            return;
        }
        item.attrs.iter().for_each(|attribute| self.visit_attribute(attribute));
        let name = item.ident.to_string();
        self.module().children.insert(name.clone());
        let path: Names = self.name_of_module().into_iter().chain([name]).collect();
        match &item.content {
            Some((_, items)) => {
                self.tree.modules.entry(path.clone()).or_default();
                let file = self.stack.last().unwrap().0.clone();
                self.stack.push((file, path));
                items.iter().for_each(|item| self.visit_item(item));
                self.stack.pop();
            }
            None => {
                let joined = path.join("/");
                let files = [format!("{joined}.rs"), format!("{joined}/mod.rs")];
                match files.iter().find(|file| self.sources.contains_key(*file)) {
                    Some(file) => self.file(file, path),
                    None => self.fault(item.ident.span(), "no file belongs to this module"),
                }
            }
        }
    }

    fn visit_item_use(&mut self, item: &'ast syn::ItemUse) {
        item.attrs.iter().for_each(|attribute| self.visit_attribute(attribute));
        if item.leading_colon.is_none() {
            self.use_tree(&item.tree, &vec![]);
        }
    }

    fn visit_item_macro(&mut self, item: &'ast syn::ItemMacro) {
        let Some(ident) = &item.ident else { return visit::visit_item_macro(self, item) };
        item.attrs.iter().for_each(|attribute| self.visit_attribute(attribute));
        let body = self.tokens(item.mac.tokens.clone(), false);
        let module = self.name_of_module();
        self.tree.mentions.extend(body.iter().cloned());
        if self.tree.macros.insert(ident.to_string(), (module, body)).is_some() {
            self.fault(ident.span(), "a second macro of this name");
        }
    }

    fn visit_macro(&mut self, item: &'ast syn::Macro) {
        visit::visit_macro(self, item);
        let name = item.path.segments.last().unwrap();
        if name.ident == "include" {
            self.fault(name.ident.span(), "included source text is not followed");
        }
        let call = self.mention(vec![name.ident.to_string()], name.ident.span());
        self.tree.calls.push(call);
        let found = self.tokens(item.tokens.clone(), false);
        self.tree.mentions.extend(found);
    }

    fn visit_attribute(&mut self, attribute: &'ast syn::Attribute) {
        let path = attribute.path();
        if path.is_ident("doc") {
            return;
        }
        if path.is_ident("path") {
            self.fault(path.segments[0].ident.span(), "a module with a path of its own is not followed");
        }
        visit::visit_attribute(self, attribute);
        let tokens = match &attribute.meta {
            syn::Meta::Path(_) => return,
            syn::Meta::List(list) => list.tokens.clone(),
            syn::Meta::NameValue(pair) => quoted(&pair.value),
        };
        let found = self.tokens(tokens, true);
        self.tree.mentions.extend(found);
    }

    fn visit_path(&mut self, path: &'ast syn::Path) {
        if path.leading_colon.is_none() {
            let mention = self.mention(names(path), path.segments[0].ident.span());
            self.tree.mentions.push(mention);
        }
        visit::visit_path(self, path);
    }

    fn visit_block(&mut self, block: &'ast syn::Block) {
        self.depth += 1;
        visit::visit_block(self, block);
        self.depth -= 1;
    }

    fn visit_impl_item(&mut self, item: &'ast syn::ImplItem) {
        let attributes: &[syn::Attribute] = match item {
            syn::ImplItem::Const(item) => &item.attrs,
            syn::ImplItem::Fn(item) => &item.attrs,
            syn::ImplItem::Type(item) => &item.attrs,
            syn::ImplItem::Macro(item) => &item.attrs,
            _ => &[],
        };
        if !only_for_tests(attributes) {
            visit::visit_impl_item(self, item);
        }
    }
}

/// The string literal of `#[name = "value"]`, if it is one.
fn quoted(value: &syn::Expr) -> proc_macro2::TokenStream {
    match value {
        syn::Expr::Lit(literal) => match &literal.lit {
            syn::Lit::Str(text) => proc_macro2::TokenTree::from(text.token()).into(),
            _ => proc_macro2::TokenStream::new(),
        },
        _ => proc_macro2::TokenStream::new(),
    }
}

fn names(path: &syn::Path) -> Names {
    path.segments.iter().map(|segment| segment.ident.to_string()).collect()
}

/// `#[cfg(test)]` or `#[cfg(all(test, …))]`: never part of the library.
fn only_for_tests(attributes: &[syn::Attribute]) -> bool {
    attributes.iter().filter(|attribute| attribute.path().is_ident("cfg")).any(|attribute| {
        let Ok(list) = attribute.meta.require_list() else { return false };
        let text: String = list.tokens.to_string().split_whitespace().collect();
        text == "test" || text.starts_with("all(test,")
    })
}

fn attributes(item: &syn::Item) -> &[syn::Attribute] {
    match item {
        syn::Item::Const(item) => &item.attrs,
        syn::Item::Enum(item) => &item.attrs,
        syn::Item::ExternCrate(item) => &item.attrs,
        syn::Item::Fn(item) => &item.attrs,
        syn::Item::ForeignMod(item) => &item.attrs,
        syn::Item::Impl(item) => &item.attrs,
        syn::Item::Macro(item) => &item.attrs,
        syn::Item::Mod(item) => &item.attrs,
        syn::Item::Static(item) => &item.attrs,
        syn::Item::Struct(item) => &item.attrs,
        syn::Item::Trait(item) => &item.attrs,
        syn::Item::TraitAlias(item) => &item.attrs,
        syn::Item::Type(item) => &item.attrs,
        syn::Item::Union(item) => &item.attrs,
        syn::Item::Use(item) => &item.attrs,
        _ => &[],
    }
}
