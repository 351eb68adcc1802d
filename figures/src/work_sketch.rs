//! A piece of work in its chuck, in a few lines: for a card to be held up.

use tautway_sim::scenario::{End, Kind};

use crate::markup::escape;

/// Work in its chuck from above, tool in front; the headstock is on the left. Its colours are the
/// page's, by class.
pub fn work_sketch(kind: Kind, big_end: End, name: &str) -> String {
    let (left, right) = match big_end {
        End::Headstock => (34, 20),
        End::Tailstock => (20, 34),
    };
    let (l, r) = (55 - left, 55 - right);
    let (l2, r2) = (55 + left, 55 + right);
    let (work, tip) = match kind {
        Kind::Outside => (
            format!("<path class=\"metal\" d=\"M50 {l}L200 {r}L200 {r2}L50 {l2}Z\"/>"),
            82,
        ),
        Kind::Inside => (
            format!(
                "<path class=\"metal\" d=\"M50 8L200 8L200 {r}L50 {l}Z\"/>\
                 <path class=\"metal\" d=\"M50 {l2}L200 {r2}L200 102L50 102Z\"/>"
            ),
            82,
        ),
    };
    let tool = match kind {
        Kind::Outside => format!(
            "<path class=\"black\" d=\"M125 {tip}L118 {0}L118 125L132 125L132 {0}Z\"/>",
            tip + 10
        ),
        // The bar comes from the tailstock, its edge at the front wall.
        Kind::Inside => {
            "<path class=\"black\" d=\"M125 82L119 74L119 62L236 62L236 74L131 74Z\"/>".to_owned()
        }
    };
    let name = escape(name);
    format!(
        "<svg class=\"sketch\" viewBox=\"0 0 240 130\" role=\"img\" aria-label=\"{name}, seen from \
         above, tool in front\"><path class=\"light\" d=\"M8 18L40 18L40 92L8 92Z\"/>\
         <path class=\"metal\" d=\"M40 28L50 28L50 82L40 82Z\"/>{work}\
         <path class=\"axis\" d=\"M2 55L238 55\"/>{tool}</svg>"
    )
}
