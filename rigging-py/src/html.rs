//! Tables for the notebook. They hold figures that earlier stages made, and no color or sign that could be misread.

/// A table with a caption; the first column holds names, the others figures.
pub(crate) fn table(caption: &str, heads: &[&str], rows: impl IntoIterator<Item = Vec<String>>) -> String {
    let cells = |tag: &str, cells: &mut dyn Iterator<Item = String>| {
        let cells: String = cells.map(|cell| format!("<{tag}>{}</{tag}>", escaped(&cell))).collect();
        format!("<tr>{cells}</tr>")
    };
    let head = cells("th", &mut heads.iter().map(|head| (*head).to_owned()));
    let body: String = rows.into_iter().map(|row| cells("td", &mut row.into_iter())).collect();
    format!("<table><caption>{}</caption><thead>{head}</thead><tbody>{body}</tbody></table>", escaped(caption))
}

/// Paragraphs, one a line.
pub(crate) fn paragraphs<'a>(lines: impl IntoIterator<Item = &'a str>) -> String {
    lines.into_iter().map(|line| format!("<p>{}</p>", escaped(line))).collect()
}

/// Newtons in kilonewtons.
pub(crate) fn kilonewtons(value: f64) -> String {
    format!("{:.2}", value / 1e3)
}

/// What is not there.
pub(crate) fn or_unknown(text: Option<String>) -> String {
    text.unwrap_or_else(|| "unknown".to_owned())
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}
