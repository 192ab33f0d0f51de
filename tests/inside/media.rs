//! The form of an answer.

use fairturn::http::media::Media::{self, Csv, Json, Text};

#[test]
fn the_form_that_is_wanted_most_is_chosen() {
    let offered = [Json, Text, Csv];
    let wanted = |accept: &str| Media::wanted(Some(accept), &offered);
    assert_eq!(Media::wanted(None, &offered), Some(Json));
    assert_eq!(wanted("*/*"), Some(Json));
    assert_eq!(wanted("text/*"), Some(Text));
    assert_eq!(wanted("text/csv, text/plain;q=0.5"), Some(Csv));
    assert_eq!(wanted("text/plain;q=0.1, application/json;q=0.25"), Some(Json));
    assert_eq!(wanted("application/json;q=0, */*;q=0.3"), Some(Text));
    assert_eq!(wanted("image/png"), None);
    assert_eq!((wanted(" ,, "), wanted("*/*;q=0")), (Some(Json), None));
}
