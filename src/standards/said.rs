//! What a standard says, figure by figure, and which of it was never compared with the text.

use super::{Outing, SessionLength, Standard, Tag};

impl Standard {
    /// What the standard says, as `(what, key of its source)`, in the order in which it is shown.
    #[must_use]
    pub fn figures(&self) -> Vec<(String, &str)> {
        let mut said: Vec<(String, &str)> = Vec::new();
        for band in &self.bands {
            said.push((format!("the ratio of {}", band.label), &band.source));
            if band.class_size.is_some() {
                let key = band.class_size_source.as_ref().unwrap_or(&band.source);
                said.push((format!("the class size of {}", band.label), key));
            }
        }
        let mut more = vec![("mixed ages", self.mixed.source())];
        let young = self.young_together.iter();
        more.extend(young.map(|y| ("how many of a group may be young", y.source.as_str())));
        let apart = self.kept_apart.iter();
        more.extend(apart.map(|a| ("which ages are kept apart", a.source.as_str())));
        let known = self.session.iter().filter(|s| s.length != SessionLength::NotKnown);
        more.extend(known.map(|s| ("how long a session is", s.source.as_str())));
        more.extend(self.rest.iter().map(|r| ("rest", r.source.as_str())));
        more.extend(self.switches.iter().map(|s| ("qualified adults", s.source.as_str())));
        more.extend(self.least_adults.iter().map(|l| ("the fewest adults", l.source.as_str())));
        more.extend(self.backup.iter().map(|b| ("who can be called", b.source.as_str())));
        more.extend(self.asks_for.iter().map(|a| ("who must be there", a.source.as_str())));
        more.extend(self.meals.iter().map(|m| ("the time between meals", m.source.as_str())));
        more.extend(self.floor.iter().map(|f| ("the floor for each child", f.source.as_str())));
        more.extend(self.activities.iter().map(|a| match a.what {
            Outing::Water => ("water play", a.source.as_str()),
            Outing::Trip => ("trips", a.source.as_str()),
        }));
        more.extend(self.brief_absence.iter().map(|b| ("short absences", b.source.as_str())));
        more.extend(self.reduced.iter().map(|r| (r.label.as_str(), r.source.as_str())));
        said.extend(more.into_iter().map(|(what, key)| (what.to_owned(), key)));
        said
    }

    /// What it says from memory alone, in words; empty when everything was read somewhere.
    #[must_use]
    pub fn from_memory(&self) -> Vec<String> {
        let remembered = |key: &str| self.source(key).is_some_and(|s| s.tag == Tag::Memory);
        let figures = self.figures().into_iter();
        let mut words: Vec<String> =
            figures.filter(|(_, key)| remembered(key)).map(|(what, _)| what).collect();
        let bands = self.bands.iter();
        let ratios = bands.clone().filter(|b| remembered(&b.source)).count();
        let size_key = |b: &super::Band| b.class_size_source.clone().unwrap_or(b.source.clone());
        let sized = bands.clone().filter(|b| b.class_size.is_some());
        let sizes = sized.filter(|b| remembered(&size_key(b))).count();
        for (count, start, all) in [
            (ratios, "the ratio of ", "the ratios"),
            (sizes, "the class size of ", "the class sizes"),
        ] {
            // Three and more are told together: nobody reads a list of seven ages.
            if count > 2 {
                let whole = if count == self.bands.len() {
                    all.to_owned()
                } else {
                    format!("{count} of {all}")
                };
                let first = words.iter().position(|w| w.starts_with(start)).unwrap_or(0);
                words.retain(|w| !w.starts_with(start));
                words.insert(first.min(words.len()), whole);
            }
        }
        words
    }

    /// How sure its ratios are: the least sure of them.
    #[must_use]
    pub fn tag(&self) -> Tag {
        let doubt = |tag: &Tag| match tag {
            Tag::Verified => 0,
            Tag::Secondary => 1,
            Tag::Derived => 2,
            Tag::CommonPractice => 3,
            Tag::Memory => 4,
        };
        let tags = self.bands.iter().filter_map(|b| self.source(&b.source)).map(|s| s.tag);
        tags.max_by_key(doubt).unwrap_or(Tag::Memory)
    }
}
