//! Reads a crate's modules with what they define, pass on and name, and finds the arrows among
//! them.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

use proc_macro2::{TokenStream, TokenTree};
use syn::punctuated::Punctuated;
use syn::visit::{self, Visit};
use syn::{Attribute, Item, Meta, Token, UseTree};

/// How a folder's own file is called among its children.
pub const SELF: &str = "self";

/// A module: what it defines, imports and names.
#[derive(Default)]
struct Module {
    children: Vec<String>,
    defined: BTreeSet<String>,
    /// Name here -> path as written.
    imported: BTreeMap<String, Vec<String>>,
    globs: Vec<Vec<String>>,
    /// What is imported to be passed on: no use of a module's own children.
    passed_on: BTreeSet<String>,
    /// Every path that stands in the code.
    named: BTreeSet<Vec<String>>,
}

/// The modules of a folder, in the order they are declared, and who names whom.
pub struct Folder {
    pub path: String,
    pub order: Vec<String>,
    /// From whom to whom, and by which words in which module.
    pub arrows: BTreeMap<(String, String), BTreeSet<String>>,
}

/// A crate's modules by path.
pub struct Crate {
    name: String,
    modules: BTreeMap<Vec<String>, Module>,
}

impl Crate {
    pub fn read(name: &str, file: &Path) -> Self {
        let mut stair = Self {
            name: name.to_owned(),
            modules: BTreeMap::new(),
        };
        stair.read_file(&[], file, file.parent().expect("a folder"));
        stair
    }

    pub fn modules(&self) -> usize {
        self.modules.len() - 1
    }

    fn read_file(&mut self, path: &[String], file: &Path, children_in: &Path) {
        let text = fs::read_to_string(file).expect("a module's file");
        let parsed = syn::parse_file(&text).expect("Rust that compiles");
        self.read_items(path, &parsed.items, children_in);
    }

    fn read_items(&mut self, path: &[String], items: &[Item], children_in: &Path) {
        let mut module = Module::default();
        for item in items
            .iter()
            .filter(|item| !only_for_tests(attributes(item)))
        {
            match item {
                Item::Mod(child) => {
                    let name = child.ident.to_string();
                    let inner: Vec<_> = path.iter().cloned().chain([name.clone()]).collect();
                    let folder = children_in.join(&name);
                    match &child.content {
                        Some((_, items)) => self.read_items(&inner, items, &folder),
                        None => {
                            let flat = children_in.join(format!("{name}.rs"));
                            let file = if flat.exists() {
                                flat
                            } else {
                                folder.join("mod.rs")
                            };
                            self.read_file(&inner, &file, &folder);
                        }
                    }
                    module.children.push(name);
                }
                Item::Use(import) => {
                    let passed_on = !matches!(import.vis, syn::Visibility::Inherited);
                    module.import(&import.tree, &[], passed_on);
                }
                other => {
                    module.defined.extend(defined_by(other));
                    let mut bound = Bound(BTreeSet::new());
                    bound.visit_item(other);
                    let mut names = Names(BTreeSet::new());
                    names.visit_item(other);
                    // A variable may be called as a function or module is.
                    let variable =
                        |path: &Vec<String>| path.len() == 1 && bound.0.contains(&path[0]);
                    module
                        .named
                        .extend(names.0.into_iter().filter(|path| !variable(path)));
                }
            }
        }
        self.modules.insert(path.to_vec(), module);
    }

    /// The modules that the path leads to, seen from `at`, as far as they are of this crate: the
    /// one named, and whether the path ends at something this module itself defines.
    fn resolve(
        &self,
        at: &[String],
        written: &[String],
        depth: usize,
    ) -> Option<(Vec<String>, bool)> {
        if depth > 16 {
            return None;
        }
        let mut place = at.to_vec();
        let mut rest = written;
        let mut anchored = false;
        while let Some((first, tail)) = rest.split_first() {
            match first.as_str() {
                "crate" => place.clear(),
                "self" => {}
                "super" => {
                    place.pop();
                }
                _ => break,
            }
            anchored = true;
            rest = tail;
        }
        self.walk(at, place, rest, anchored, depth)
    }

    fn walk(
        &self,
        at: &[String],
        mut place: Vec<String>,
        mut rest: &[String],
        anchored: bool,
        depth: usize,
    ) -> Option<(Vec<String>, bool)> {
        let mut first = !anchored;
        loop {
            let module = self.modules.get(&place)?;
            let Some((name, tail)) = rest.split_first() else {
                return Some((place, false));
            };
            if module.children.contains(name) {
                place.push(name.clone());
            } else if module.defined.contains(name) {
                return Some((place, true));
            } else if let Some(path) = module.imported.get(name) {
                // A name passed on by a module that isn't around the one who asks counts as that
                // module's own.
                if !first && !at.starts_with(&place) {
                    return Some((place, true));
                }
                let whole: Vec<_> = path.iter().chain(tail).cloned().collect();
                return self.follow(at, &place, &whole, depth);
            } else {
                if !at.starts_with(&place) {
                    return (!first).then_some((place, true));
                }
                return module.globs.iter().find_map(|glob| {
                    let (found, _) = self.resolve(&place, glob, depth + 1)?;
                    let inner = self.modules.get(&found)?;
                    (inner.defined.contains(name) || inner.imported.contains_key(name))
                        .then_some((found, true))
                });
            }
            first = false;
            rest = tail;
        }
    }

    /// Goes on along an import of `place`, on behalf of `at`.
    fn follow(
        &self,
        at: &[String],
        place: &[String],
        written: &[String],
        depth: usize,
    ) -> Option<(Vec<String>, bool)> {
        if depth > 16 {
            return None;
        }
        let mut start = place.to_vec();
        let mut rest = written;
        let mut anchored = false;
        while let Some((first, tail)) = rest.split_first() {
            match first.as_str() {
                "crate" => start.clear(),
                "self" => {}
                "super" => {
                    start.pop();
                }
                _ => break,
            }
            anchored = true;
            rest = tail;
        }
        if !anchored {
            // `use name::…`: a child of the module that imports, or another crate.
            let child = self.modules.get(place)?.children.contains(rest.first()?);
            if !child {
                return None;
            }
        }
        self.walk(at, start, rest, true, depth + 1)
    }

    /// Every folder with more than one module, with the arrows among them.
    pub fn folders(&self) -> Vec<Folder> {
        let mut folders: BTreeMap<Vec<String>, BTreeMap<_, BTreeSet<String>>> = BTreeMap::new();
        for (from, module) in &self.modules {
            let named = module.named.iter().map(|path| (path, false));
            let imported = module
                .imported
                .iter()
                .map(|(name, path)| (path, module.passed_on.contains(name)));
            for (written, passed_on) in named.chain(imported) {
                let Some((to, own)) = self.resolve(from, written, 0) else {
                    continue;
                };
                // A single name in the code is a value or a type, no module.
                let bare = written.len() == 1 && !own && module.named.contains(written);
                if bare || passed_on && to.starts_with(from) {
                    continue;
                }
                let shared = from.iter().zip(&to).take_while(|(a, b)| a == b).count();
                let side =
                    |path: &[String]| path.get(shared).map_or(SELF, String::as_str).to_owned();
                let (a, b) = (side(from), side(&to));
                if a != b && (b != SELF || own) {
                    let folder = folders.entry(from[..shared].to_vec()).or_default();
                    let words = format!("{} in {}", written.join("::"), from.join("::"));
                    folder.entry((a, b)).or_default().insert(words);
                }
            }
        }
        folders
            .into_iter()
            .map(|(path, arrows)| Folder {
                order: self.modules[&path].children.clone(),
                path: [self.name.as_str()]
                    .into_iter()
                    .chain(path.iter().map(String::as_str))
                    .collect::<Vec<_>>()
                    .join("::"),
                arrows,
            })
            .collect()
    }
}

impl Folder {
    /// The modules from above, each with what it imports.
    pub fn list(&self) -> String {
        let lines = self
            .order
            .iter()
            .map(String::as_str)
            .chain([SELF])
            .map(|name| {
                let imports: Vec<_> = self
                    .arrows
                    .keys()
                    .filter(|(from, _)| from == name)
                    .map(|(_, to)| to.as_str())
                    .collect();
                format!("\n    {name}: {}", imports.join(" "))
            });
        [self.path.clone()].into_iter().chain(lines).collect()
    }

    /// Whether the arrows lead from one to the other.
    pub fn leads(&self, from: &str, to: &str) -> bool {
        let mut seen = BTreeSet::from([from]);
        let mut open = vec![from];
        while let Some(at) = open.pop() {
            for (_, next) in self.arrows.keys().filter(|(start, _)| start == at) {
                if seen.insert(next) {
                    open.push(next);
                }
            }
        }
        seen.contains(to)
    }
}

impl Module {
    fn import(&mut self, tree: &UseTree, before: &[String], passed_on: bool) {
        let with = |name: &syn::Ident| -> Vec<String> {
            before.iter().cloned().chain([name.to_string()]).collect()
        };
        match tree {
            UseTree::Path(path) => self.import(&path.tree, &with(&path.ident), passed_on),
            UseTree::Group(group) => {
                for tree in &group.items {
                    self.import(tree, before, passed_on);
                }
            }
            UseTree::Name(name) if name.ident == "self" => {
                let last = before.last().expect("a path before self").clone();
                self.bring(last, before.to_vec(), passed_on);
            }
            UseTree::Name(name) => self.bring(name.ident.to_string(), with(&name.ident), passed_on),
            UseTree::Rename(name) => {
                let path = if name.ident == "self" {
                    before.to_vec()
                } else {
                    with(&name.ident)
                };
                self.bring(name.rename.to_string(), path, passed_on);
            }
            UseTree::Glob(_) => self.globs.push(before.to_vec()),
        }
    }

    fn bring(&mut self, name: String, path: Vec<String>, passed_on: bool) {
        if passed_on {
            self.passed_on.insert(name.clone());
        }
        self.imported.insert(name, path);
    }
}

/// Collects the paths that stand in code, those inside macros too.
struct Names(BTreeSet<Vec<String>>);

impl Names {
    fn tokens(&mut self, tokens: TokenStream) {
        let mut path: Vec<String> = Vec::new();
        let mut colons = 0;
        for token in tokens {
            match token {
                TokenTree::Ident(name) => {
                    if colons != 2 {
                        self.end(&mut path);
                    }
                    path.push(name.to_string());
                    colons = 0;
                }
                TokenTree::Punct(mark) if mark.as_char() == ':' && !path.is_empty() => colons += 1,
                TokenTree::Group(group) => {
                    self.end(&mut path);
                    colons = 0;
                    self.tokens(group.stream());
                }
                _ => {
                    self.end(&mut path);
                    colons = 0;
                }
            }
        }
        self.end(&mut path);
    }

    fn end(&mut self, path: &mut Vec<String>) {
        if !path.is_empty() {
            self.0.insert(std::mem::take(path));
        }
    }
}

impl<'ast> Visit<'ast> for Names {
    fn visit_path(&mut self, path: &'ast syn::Path) {
        self.0.insert(
            path.segments
                .iter()
                .map(|part| part.ident.to_string())
                .collect(),
        );
        visit::visit_path(self, path);
    }

    fn visit_macro(&mut self, call: &'ast syn::Macro) {
        self.tokens(call.tokens.clone());
        visit::visit_macro(self, call);
    }

    fn visit_item_use(&mut self, import: &'ast syn::ItemUse) {
        let mut inner = Module::default();
        inner.import(&import.tree, &[], false);
        self.0.extend(inner.imported.into_values());
        self.0.extend(inner.globs);
    }
}

/// Collects what variables are called.
struct Bound(BTreeSet<String>);

impl<'ast> Visit<'ast> for Bound {
    fn visit_pat_ident(&mut self, pattern: &'ast syn::PatIdent) {
        self.0.insert(pattern.ident.to_string());
        visit::visit_pat_ident(self, pattern);
    }
}

fn only_for_tests(attributes: &[Attribute]) -> bool {
    let needs_test = |condition: &Meta| match condition {
        Meta::Path(what) => what.is_ident("test"),
        Meta::List(list) if list.path.is_ident("all") => list
            .parse_args_with(Punctuated::<Meta, Token![,]>::parse_terminated)
            .is_ok_and(|all| all.iter().any(|part| part.path().is_ident("test"))),
        _ => false,
    };
    attributes.iter().any(|attribute| {
        attribute.path().is_ident("cfg")
            && attribute
                .parse_args::<Meta>()
                .is_ok_and(|condition| needs_test(&condition))
    })
}

fn attributes(item: &Item) -> &[Attribute] {
    match item {
        Item::Const(item) => &item.attrs,
        Item::Enum(item) => &item.attrs,
        Item::Fn(item) => &item.attrs,
        Item::Impl(item) => &item.attrs,
        Item::Macro(item) => &item.attrs,
        Item::Mod(item) => &item.attrs,
        Item::Static(item) => &item.attrs,
        Item::Struct(item) => &item.attrs,
        Item::Trait(item) => &item.attrs,
        Item::Type(item) => &item.attrs,
        Item::Use(item) => &item.attrs,
        _ => &[],
    }
}

fn defined_by(item: &Item) -> Option<String> {
    Some(match item {
        Item::Const(item) => item.ident.to_string(),
        Item::Enum(item) => item.ident.to_string(),
        Item::Fn(item) => item.sig.ident.to_string(),
        Item::Macro(item) => item.ident.as_ref()?.to_string(),
        Item::Static(item) => item.ident.to_string(),
        Item::Struct(item) => item.ident.to_string(),
        Item::Trait(item) => item.ident.to_string(),
        Item::Type(item) => item.ident.to_string(),
        _ => return None,
    })
}
