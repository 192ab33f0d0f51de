//! The settings of the service.

use fairturn::http::settings::{SETTINGS, Settings};

#[test]
fn the_defaults_can_be_read_and_every_fault_is_told() {
    let plain = Settings::read(|_| None).expect("the defaults");
    assert!(plain.listen.ip().is_loopback() && plain.workers > 0);
    let wrong = Settings::read(|s| (s.flag != "database").then(|| "lots".to_owned()));
    let wrong = wrong.expect_err("nothing can be read");
    assert_eq!(wrong.len(), SETTINGS.len() - 1, "{wrong:?}");
}
