//! In which form an answer goes out, by what the `Accept` header asks for.

/// A form of an answer.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Media {
    /// `application/json`.
    Json,
    /// `text/plain`, for people.
    Text,
    /// `text/csv`.
    Csv,
    /// `text/calendar`, iCalendar.
    Calendar,
    /// `text/html`, the reference page.
    Html,
    /// `text/event-stream`, what becomes of a job.
    Events,
}

impl Media {
    /// Its name.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Media::Json => "application/json",
            Media::Text => "text/plain",
            Media::Csv => "text/csv",
            Media::Calendar => "text/calendar",
            Media::Html => "text/html",
            Media::Events => "text/event-stream",
        }
    }

    /// The whole header.
    #[must_use]
    pub fn header(self) -> &'static str {
        match self {
            Media::Json => "application/json",
            Media::Text => "text/plain; charset=utf-8",
            Media::Csv => "text/csv; charset=utf-8; header=present",
            Media::Calendar => "text/calendar; charset=utf-8",
            Media::Html => "text/html; charset=utf-8",
            Media::Events => "text/event-stream",
        }
    }

    /// The form among `offered` that `accept` wants most; the first of equals, `None` if none will do.
    #[must_use]
    pub fn wanted(accept: Option<&str>, offered: &[Media]) -> Option<Media> {
        let Some(accept) =
            accept.filter(|list| list.split(',').any(|range| !range.trim().is_empty()))
        else {
            return offered.first().copied();
        };
        let best = offered.iter().enumerate().filter_map(|(at, media)| {
            let weight = media.weight(accept);
            (weight > 0).then_some((weight, usize::MAX - at, *media))
        });
        best.max_by_key(|(weight, at, _)| (*weight, *at)).map(|(_, _, media)| media)
    }

    /// In thousandths; the most exact range that names it decides.
    fn weight(self, accept: &str) -> u32 {
        let name = self.name();
        let (whole, _) = name.split_once('/').unwrap_or((name, ""));
        let ranges = accept.split(',').filter_map(|range| {
            let mut parts = range.split(';').map(str::trim);
            let range = parts.next()?.to_ascii_lowercase();
            let exact = match range.as_str() {
                "*/*" => 0,
                _ if range.strip_suffix("/*") == Some(whole) => 1,
                _ if range == name => 2,
                _ => return None,
            };
            let weight = parts.find_map(|part| part.strip_prefix("q=").or(part.strip_prefix("Q=")));
            let weight = weight.map_or(1000, thousandths);
            Some((exact, weight))
        });
        ranges.max_by_key(|(exact, _)| *exact).map_or(0, |(_, weight)| weight)
    }
}

/// `0.25` as 250; what is no weight is none.
fn thousandths(text: &str) -> u32 {
    let (whole, part) = text.split_once('.').unwrap_or((text, ""));
    let digits: String = part.chars().chain("000".chars()).take(3).collect();
    match (whole, digits.parse::<u32>()) {
        ("1", Ok(_)) => 1000,
        ("0", Ok(part)) => part,
        _ => 0,
    }
}
