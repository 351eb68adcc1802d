//! A document as HTML, escaped by construction: on paper blanks are lines, on a screen fields.

use maud::{DOCTYPE, Markup, PreEscaped, html};

use crate::block::{
    Align, Block, Choice, Download, Facts, Group, Layout, Mark, Paragraph, Pictures, Role, Sum,
    Table,
};
use crate::span::{Span, Words};

/// What a page is read on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Read {
    /// Printed, and filled in by pencil.
    OnPaper,
    /// On a screen, where what is blank can be typed into.
    OnScreen,
}

/// A page that needs nothing else.
pub struct Page<'a> {
    /// What it is, for whoever asks whether this program wrote it: `report`.
    pub kind: &'a str,
    /// Version of the program.
    pub version: &'a str,
    /// What the window is called.
    pub title: &'a str,
    /// What it may load and run; all of its own if not said.
    pub policy: Option<&'a str>,
    /// Style sheet.
    pub look: &'a str,
    /// Before the main part, inside it, and after it.
    pub before: Markup,
    /// The main part.
    pub main: Markup,
    /// What comes after it, scripts too.
    pub after: Markup,
}

/// What every page of a kind has near its beginning.
pub fn opening(kind: &str) -> String {
    String::from("<meta name=\"generator\" content=\"tautway ") + kind
}

impl Page<'_> {
    /// The page as a file.
    pub fn write(&self) -> String {
        let page = html! {
            (DOCTYPE)
            html lang="en" {
                head {
                    meta charset="utf-8";
                    "\n"
                    meta name="generator" content={ "tautway " (self.kind) " " (self.version) };
                    @if let Some(policy) = self.policy {
                        meta http-equiv="Content-Security-Policy" content=(policy);
                    }
                    meta name="viewport" content="width=device-width, initial-scale=1";
                    title { (self.title) }
                    style { (PreEscaped(self.look)) }
                }
                "\n"
                body {
                    (self.before)
                    main { (self.main) }
                    (self.after)
                }
            }
            "\n"
        };
        page.into_string()
    }
}

/// A script of ours.
pub fn script(text: &str) -> Markup {
    html! { script { (PreEscaped(text)) } }
}

/// Nothing at all.
pub fn nothing() -> Markup {
    html! {}
}

/// The blocks.
pub fn blocks(blocks: &[Block], read: Read) -> Markup {
    Writer { read, depth: 2 }.blocks(blocks, "f")
}

/// The blocks of a part of a page that has its own heading.
pub fn inner_blocks(blocks: &[Block], read: Read) -> Markup {
    Writer { read, depth: 3 }.blocks(blocks, "g")
}

/// The same of one of several such parts, whose fields are told apart by its name.
pub fn part_blocks(blocks: &[Block], read: Read, name: &str) -> Markup {
    Writer { read, depth: 3 }.blocks(blocks, name)
}

/// Words as they stand in a line.
pub fn words(words: &Words) -> Markup {
    html! {
        @for span in words.spans() {
            @match span {
                Span::Plain(words) => { (words) },
                Span::Strong(words) => { b { (words) } },
                Span::Link { words, to } => { a href=(to) { (words) } },
                Span::Blank => { span class="blank" {} },
            }
        }
    }
}

#[derive(Clone, Copy)]
struct Writer {
    read: Read,
    /// Of a group's heading.
    depth: usize,
}

impl Writer {
    /// `place` tells the fields of one part of a page from another's.
    fn blocks(self, blocks: &[Block], place: &str) -> Markup {
        let mut left = blocks;
        let mut at = 0;
        let mut written = Vec::new();
        while let Some(first) = left.first() {
            let alike = list_of(first).map_or(1, |mark| {
                let all = left.iter();
                all.take_while(|block| list_of(block) == Some(mark)).count()
            });
            let (these, rest) = left.split_at(alike);
            let place = format!("{place}-{at}");
            written.push(match list_of(first) {
                Some(mark) => self.list(mark, these, &place),
                None => self.block(first, &place),
            });
            at += alike;
            left = rest;
        }
        html! { @for block in &written { (block) "\n" } }
    }

    fn block(self, block: &Block, place: &str) -> Markup {
        match block {
            Block::Title(title) => html! { h1 { (words(title)) } },
            Block::Heading(heading) => html! { h2 { (words(heading)) } },
            Block::Lead(lead) => html! { p class="lead" { (words(lead)) } },
            Block::Paragraph(paragraph) => self.paragraph(paragraph),
            Block::Table(table) => self.table(table),
            Block::Facts(facts) => self.facts(facts),
            Block::Fields(labels) => self.fields(labels, place),
            Block::Choice(choice) => self.choice(choice, place),
            Block::Sum(sum) => self.sum(sum),
            Block::Figure(figure) => html! { figure { (PreEscaped(&figure.svg)) } },
            Block::Pictures(pictures) => self.pictures(pictures),
            Block::Source(source) => html! {
                details { summary { (source.name) } pre tabindex="0" { (source.text) } }
            },
            Block::Download(download) => self.download(download),
            Block::Group(group) => self.group(group, place),
            Block::Gap => html! {},
            Block::PageBreak => html! { div class="page-break" {} },
        }
    }

    fn paragraph(self, paragraph: &Paragraph) -> Markup {
        let class = class_of(paragraph.role);
        let caution = match paragraph.role {
            Role::Caution(id) => id,
            _ => None,
        };
        if paragraph.role == Role::Command {
            return html! { pre { (words(&paragraph.words)) } };
        }
        html! {
            p class=[class] data-caution=[caution] { (labelled(paragraph)) }
        }
    }

    fn list(self, mark: Mark, these: &[Block], place: &str) -> Markup {
        let items = these.iter().filter_map(|block| match block {
            Block::Paragraph(paragraph) => Some(paragraph),
            _ => None,
        });
        match (mark, self.read) {
            (Mark::Tick, Read::OnPaper) => html! {
                @for item in items {
                    p class="check" { span class="tick" {} (labelled(item)) }
                }
            },
            (Mark::Tick, Read::OnScreen) => html! {
                ul class="ticks" {
                    @for (at, item) in items.enumerate() {
                        @let id = format!("{place}-{at}");
                        li { label for=(id) { input id=(id) type="checkbox"; " " span { (labelled(item)) } } }
                    }
                }
            },
            (Mark::Number(first), _) => html! {
                ol start=[(first != 1).then_some(first)] { @for item in items { li { (labelled(item)) } } }
            },
            _ => html! { ul { @for item in items { li { (labelled(item)) } } } },
        }
    }

    fn table(self, table: &Table) -> Markup {
        let side = |column| (table.side(column) == Align::Left).then_some("word");
        let class = Some(table.class).filter(|class| !class.is_empty());
        let table = html! {
                table class=[class] {
                    @if !table.head.is_empty() {
                        thead { tr {
                            @for (column, head) in table.head.iter().enumerate() {
                                th scope="col" class=[side(column)] { (words(head)) }
                            }
                        } }
                    }
                    tbody {
                        @for row in &table.rows {
                            tr { @for (column, cell) in row.iter().enumerate() {
                                @if cell.is_blank() {
                                    td class="write" { (self.typed_cell(table, row, column)) }
                                } @else if column == 0 {
                                    th scope="row" class=[side(column)] { (words(cell)) }
                                } @else {
                                    td class=[side(column).or(of_words(cell))] { (words(cell)) }
                                }
                            } }
                        }
                    }
                }
        };
        match self.read {
            Read::OnPaper => table,
            // Wider than a screen, it is moved by keys too.
            Read::OnScreen => html! { div class="wide" tabindex="0" { (table) } },
        }
    }

    /// A field in a table, named by its row and column.
    fn typed_cell(self, table: &Table, row: &[Words], column: usize) -> Markup {
        if self.read == Read::OnPaper {
            return html! {};
        }
        let head = table.head.get(column).map(Words::bare).unwrap_or_default();
        let name = format!("{}, {head}", row[0].bare());
        html! { input type="text" autocomplete="off" aria-label=(name); }
    }

    fn facts(self, facts: &Facts) -> Markup {
        if facts.layout != Layout::Flow {
            return html! {
                p class="head" {
                    @for fact in &facts.of {
                        span {
                            (words(&fact.label)) " "
                            @if fact.value.is_blank() { span class="blank wide" {} }
                            @else { b { (words(&fact.value)) } }
                        }
                        " "
                    }
                }
            };
        }
        html! {
            div class="figures" {
                @for fact in &facts.of {
                    div {
                        small { (words(&fact.label)) }
                        b { (words(&fact.value)) }
                        @if !fact.small.is_empty() { small { (words(&fact.small)) } }
                    }
                }
            }
        }
    }

    fn fields(self, labels: &[Words], place: &str) -> Markup {
        match self.read {
            Read::OnPaper => html! {
                div class="boxes" { @for label in labels { span { (words(label)) i {} } } }
            },
            Read::OnScreen => html! {
                @for (at, label) in labels.iter().enumerate() {
                    @let id = format!("{place}-{at}");
                    p class="blank" {
                        label for=(id) { (words(label)) } " "
                        input id=(id) type="text" autocomplete="off";
                    }
                }
            },
        }
    }

    fn choice(self, choice: &Choice, place: &str) -> Markup {
        html! {
            fieldset class="choose" {
                legend { (words(&choice.asked)) }
                @for of in &choice.of {
                    label {
                        @match self.read {
                            Read::OnPaper => span class="tick" {},
                            Read::OnScreen => input type="radio" name=(place);,
                        }
                        " " (words(of))
                    }
                    " "
                }
            }
        }
    }

    fn sum(self, sum: &Sum) -> Markup {
        html! {
            form id="sum" data-taper=(sum.factor) data-digits=(sum.digits) hidden {
                label for="standoff" { (words(&sum.label)) } " "
                input id="standoff" type="number" inputmode="decimal" step=(sum.step);
                " "
                output for="standoff" id="dial" { "\u{2013}" }
            }
        }
    }

    /// A link that saves what it carries.
    fn download(self, download: &Download) -> Markup {
        let mut data = format!("data:{};charset=utf-8,", download.kind);
        for byte in download.text.bytes() {
            if byte.is_ascii_alphanumeric() || b"-_.,;:+/ ".contains(&byte) {
                data.push(char::from(byte));
            } else {
                data.push_str(&format!("%{byte:02X}"));
            }
        }
        html! { p { a download=(download.name) href=(data) { (download.name) } } }
    }

    fn pictures(self, pictures: &Pictures) -> Markup {
        let places = html! {
            div class="pictures" {
                @if pictures.of.len() > 1 {
                    p class="both" { button type="button" class="play-both" { "Play both" } }
                }
                @for picture in &pictures.of {
                    figure class="moving" {
                        figcaption { (words(&picture.caption)) }
                        div data-picture=(picture.name) data-at=(picture.at) {}
                    }
                }
            }
        };
        if pictures.instead.is_empty() {
            return places;
        }
        html! {
            div class="forces-tried" {
                div class="tools" {
                    @for (at, instead) in pictures.instead.iter().enumerate() {
                        button type="button" data-shows=(instead.name) aria-pressed=(at == 0) {
                            (words(&instead.label))
                        }
                    }
                }
                @for instead in &pictures.instead {
                    @if !instead.warning.is_empty() {
                        p class="never" data-of=(instead.name) hidden { (words(&instead.warning)) }
                    }
                }
                (places)
            }
        }
    }

    fn group(self, group: &Group, place: &str) -> Markup {
        let layout = match group.layout {
            Layout::Flow => None,
            Layout::Columns => Some("columns"),
            Layout::Row => Some("row"),
        };
        let class = [Some(group.class).filter(|class| !class.is_empty()), layout];
        let class: Vec<&str> = class.into_iter().flatten().collect();
        let class = (!class.is_empty()).then(|| class.join(" "));
        let id = (!group.id.is_empty()).then_some(&group.id);
        if group.heading.is_empty() {
            return html! { div id=[id] class=[class] { (self.blocks(&group.blocks, place)) } };
        }
        let named = id.map(|id| format!("title-{id}"));
        let inside = Self {
            depth: self.depth + 1,
            ..self
        };
        let place = if group.id.is_empty() {
            place
        } else {
            &group.id
        };
        html! {
            section id=[id] class=[class] aria-labelledby=[named.as_ref()] {
                (self.heading(group, named.as_ref()))
                "\n"
                (inside.blocks(&group.blocks, place))
            }
        }
    }

    fn heading(self, group: &Group, id: Option<&String>) -> Markup {
        let inside = html! {
            @if let Some(number) = group.number { span class="number" { (number) } " " }
            (words(&group.heading))
        };
        match self.depth {
            2 => html! { h2 id=[id] { (inside) } },
            _ => html! { h3 id=[id] { (inside) } },
        }
    }
}

/// A cell of words in a column of figures.
fn of_words(cell: &Words) -> Option<&'static str> {
    let words = cell.bare();
    words.starts_with(char::is_alphabetic).then_some("word")
}

/// The list that a block is an item of.
fn list_of(block: &Block) -> Option<Mark> {
    let Block::Paragraph(paragraph) = block else {
        return None;
    };
    match paragraph.mark {
        Mark::None => None,
        // A ranking is one list, whatever its numbers.
        Mark::Number(_) => Some(Mark::Number(1)),
        other => Some(other),
    }
}

fn labelled(paragraph: &Paragraph) -> Markup {
    html! {
        @if !paragraph.label.is_empty() { b { (words(&paragraph.label)) } " " }
        (words(&paragraph.words))
    }
}

fn class_of(role: Role) -> Option<String> {
    Some(match role {
        Role::Plain | Role::Command => return None,
        Role::Advice => "advice".to_owned(),
        Role::Caution(_) => "caution".to_owned(),
        Role::Loud => "loud".to_owned(),
        Role::Question => "question".to_owned(),
        Role::State(how) => format!("state {how}"),
        Role::Note => "note".to_owned(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::block::{Document, Instead, Picture};

    fn shown(fill: impl FnOnce(&mut Document), read: Read) -> String {
        let mut page = Document::new();
        fill(&mut page);
        blocks(&page.blocks, read).into_string()
    }

    #[test]
    fn nothing_a_person_writes_becomes_markup() {
        let nasty = "<script>alert('\"&')</script>";
        let mut table = Table::new([nasty]);
        table.row([nasty]);
        let html = shown(
            |page| {
                page.title(nasty);
                page.say(nasty, nasty);
                page.item(nasty);
                page.push(Block::Table(table));
                page.push(Block::Fields(vec![nasty.into()]));
                page.push(Block::Pictures(Pictures {
                    of: vec![Picture {
                        name: nasty.to_owned(),
                        at: 0.0,
                        caption: nasty.into(),
                    }],
                    instead: vec![Instead {
                        name: nasty.to_owned(),
                        label: nasty.into(),
                        warning: nasty.into(),
                    }],
                }));
                page.push(Block::Download(Download {
                    name: nasty.to_owned(),
                    kind: "text/csv",
                    text: nasty.to_owned(),
                }));
            },
            Read::OnScreen,
        );
        assert!(!html.contains("<script"), "{html}");
        assert!(!html.contains("'\"&"), "{html}");
    }

    #[test]
    fn a_blank_is_a_line_on_paper_and_a_named_field_on_a_screen() {
        let fill = |page: &mut Document| {
            let mut table = Table::new(["depth", "which wins"]);
            table.row([Words::from("0.005 in"), Words::blank()]);
            page.push(Block::Table(table));
        };
        let screen = shown(fill, Read::OnScreen);
        assert!(
            screen.contains("aria-label=\"0.005 in, which wins\""),
            "{screen}"
        );
        let paper = shown(fill, Read::OnPaper);
        assert!(paper.contains("<td class=\"write\"></td>"), "{paper}");
    }

    #[test]
    fn items_beside_each_other_are_one_list() {
        let html = shown(
            |page| {
                page.ranked(1, "a");
                page.ranked(2, "b");
                page.item("c");
                page.say("Why:", "d");
            },
            Read::OnPaper,
        );
        let wanted = "<ol><li>a</li><li>b</li></ol>\n<ul><li>c</li></ul>\n<p><b>Why:</b> d</p>\n";
        assert_eq!(html, wanted);
    }
}
