//! Published wind-chill and heat-index tables, and limits at their very edges.

use fairturn::standards::weather::formula::*;
use fairturn::standards::weather::*;

/// Rounded as the printed tables are: half up.
fn printed(value: f64) -> i64 {
    (value + 0.5).floor() as i64
}

fn near(value: f64, expected: f64) -> bool {
    (value - expected).abs() < 0.006
}

/// US National Weather Service table (verified).
#[test]
fn wind_chill_table() {
    let rows = [
        (40, 5, 36),
        (30, 10, 21),
        (20, 15, 6),
        (10, 5, 1),
        (0, 15, -19),
        (-10, 20, -35),
        (5, 30, -19),
        (0, 40, -29),
        (45, 5, 42),
        (25, 25, 9),
        (15, 60, -11),
        (-20, 10, -41),
        (-35, 15, -64),
        (-45, 20, -81),
    ];
    for (air, wind, expected) in rows {
        let (chill, form) = wind_chill(f64::from(air), f64::from(wind));
        assert_eq!(printed(chill), expected, "{air} F, {wind} mph");
        assert_eq!(form, WindChillForm::Weather2001);
    }
    for (air, wind, exact) in [(20, 15, 6.219), (0, 15, -19.398), (30, 10, 21.248), (3, 8, -10.469)]
    {
        assert!((wind_chill(f64::from(air), f64::from(wind)).0 - exact).abs() < 0.0006);
    }
}

/// The metric form (derived from the verified formula), and where no wind chill is defined.
#[test]
fn wind_chill_metric_and_its_limits() {
    let rows = [
        (-10, 20, -17.86),
        (-15, 30, -26.04),
        (-20, 30, -32.57),
        (-25, 20, -36.79),
        (0, 10, -3.31),
    ];
    for (air, wind, expected) in rows {
        let (chill, form) = wind_chill_metric(f64::from(air), f64::from(wind));
        assert!(near(chill, expected), "{air} C, {wind} km/h: {chill}");
        assert_eq!(form, WindChillForm::Metric2001);
    }
    assert_eq!(wind_chill(51.0, 20.0), (51.0, WindChillForm::Air));
    assert_eq!(wind_chill(20.0, 3.0), (20.0, WindChillForm::Air));
    let (low, form) = wind_chill_metric(-10.0, 4.0);
    assert!(near(low, -12.348) && form == WindChillForm::MetricLowWind);
    assert_eq!(wind_chill_metric(-10.0, 0.0), (-10.0, WindChillForm::Air));
}

/// The published chart where it equals the formula (verified).
#[test]
fn heat_index_table() {
    let rows = [
        (80, 40, 80),
        (84, 60, 88),
        (84, 70, 90),
        (90, 40, 91),
        (90, 50, 95),
        (90, 60, 100),
        (90, 80, 113),
        (94, 55, 106),
        (94, 70, 119),
        (100, 40, 109),
        (100, 50, 118),
        (100, 60, 129),
        (104, 50, 131),
    ];
    for (air, humidity, expected) in rows {
        let (index, _) = heat_index(f64::from(air), f64::from(humidity));
        assert_eq!(printed(index), expected, "{air} F, {humidity} %");
    }
    assert!(near(heat_index(90.0, 45.0).0, 92.49), "the chart prints 93");
    assert!(near(heat_index(90.0, 70.0).0, 105.92), "the chart prints 105");
    assert!(near(heat_index(100.0, 65.0).0, 135.87));
}

/// Humid and dry corners (derived).
#[test]
fn heat_index_adjustments() {
    let humid = [
        (80, 95, 86.40, 87.80),
        (80, 100, 87.19, 89.29),
        (84, 95, 100.28, 100.88),
        (84, 100, 102.66, 103.56),
    ];
    for (air, humidity, without, with) in humid {
        let (t, r) = (f64::from(air), f64::from(humidity));
        assert!(near(full_heat_index(t, r), without), "{air} {humidity}");
        let (index, form) = heat_index(t, r);
        assert!(near(index, with) && form == HeatIndexForm::FullHumid, "{air} {humidity}: {index}");
    }
    for (air, humidity, without, with) in [(95, 10, 90.20, 89.45), (100, 5, 94.18, 92.50)] {
        let (t, r) = (f64::from(air), f64::from(humidity));
        assert!(near(full_heat_index(t, r), without), "{air} {humidity}");
        let (index, form) = heat_index(t, r);
        assert!(near(index, with) && form == HeatIndexForm::FullDry, "{air} {humidity}: {index}");
    }
    assert!(near(simple_heat_index(79.0, 90.0), 80.83));
    let (index, form) = heat_index(79.0, 90.0);
    assert!(near(index, 79.92) && form == HeatIndexForm::Averaged);
}

fn act(weather: &Weather, rules: &str) -> Act {
    judge(weather, find(rules).expect("a built-in set")).act
}

fn hot(air: f64, humidity: f64) -> Weather {
    Weather {
        temperature: Some(Temperature::Fahrenheit(air)),
        humidity: Some(humidity),
        ..Weather::default()
    }
}

fn cold(air: f64, wind: f64) -> Weather {
    Weather {
        temperature: Some(Temperature::Fahrenheit(air)),
        wind: Some(Wind::MilesPerHour(wind)),
        ..Weather::default()
    }
}

/// CFOC 3.1.3.2: at or above 90 F of heat index, unrounded.
#[test]
fn the_heat_limit_is_not_rounded() {
    let rows = [
        (84, 65, false),
        (84, 70, true),
        (86, 55, false),
        (86, 60, true),
        (88, 45, false),
        (88, 50, true),
        (90, 35, false),
        (90, 40, true),
        (95, 10, false),
    ];
    for (air, humidity, stay) in rows {
        let weather = hot(f64::from(air), f64::from(humidity));
        let expected = if stay { Act::StayIn } else { Act::Shorten };
        assert_eq!(act(&weather, "cfoc-current"), expected, "{air} {humidity}");
    }
    assert_eq!(act(&hot(72.0, 60.0), "cfoc-current"), Act::GoOut);
}

/// 0 F and 9 mph is -15.071: rounding would let the children out under "below -15".
#[test]
fn the_cold_limit_is_not_rounded_and_differs_by_edition() {
    let (chill, _) = wind_chill(0.0, 9.0);
    assert!((chill + 15.071).abs() < 0.0006);
    assert_eq!(act(&cold(0.0, 9.0), "cfoc-current"), Act::StayIn);
    assert_eq!(act(&cold(0.0, 9.0), "cfoc-2013"), Act::StayIn);
    let exactly = cold(-15.0, 0.0);
    assert_eq!(act(&exactly, "cfoc-current"), Act::Shorten, "below -15");
    assert_eq!(act(&exactly, "cfoc-2013"), Act::StayIn, "at or below -15");
    assert_eq!(act(&cold(0.0, 8.0), "cfoc-current"), Act::Shorten);
    assert_eq!(act(&cold(40.0, 5.0), "cfoc-current"), Act::GoOut);
}

/// The same hour differs between rule sets: basis and operator are data.
#[test]
fn other_rule_sets_judge_otherwise() {
    assert_eq!(act(&cold(19.5, 0.0), "washington-school-age"), Act::StayIn);
    assert_eq!(act(&cold(20.0, 30.0), "washington-school-age"), Act::GoOut, "air, not wind");
    assert_eq!(act(&hot(100.0, 60.0), "washington-school-age"), Act::GoOut, "above, not at");
    assert_eq!(act(&cold(29.9, 0.0), "school-stricter"), Act::Shorten);
    assert_eq!(act(&cold(19.0, 0.0), "school-stricter"), Act::StayIn);
    let celsius = |c, wind| Weather {
        temperature: Some(Temperature::Celsius(c)),
        wind: Some(Wind::KilometresPerHour(wind)),
        ..Weather::default()
    };
    assert_eq!(act(&celsius(-25.0, 0.0), "canada"), Act::StayIn);
    assert_eq!(act(&celsius(-18.0, 20.0), "canada"), Act::GoOut, "-27.8 of wind chill");
    assert_eq!(act(&celsius(-20.0, 30.0), "canada"), Act::StayIn, "-32.6 of wind chill");
}

#[test]
fn air_and_lightning() {
    let air = |aqi| Weather { air_quality: Some(aqi), ..Weather::default() };
    let acts = [100, 101, 150, 151].map(|aqi| act(&air(aqi), "cfoc-current"));
    assert_eq!(acts, [Act::GoOut, Act::Shorten, Act::Shorten, Act::StayIn]);
    let lightning = Weather { lightning: true, ..Weather::default() };
    for set in rule_sets() {
        assert_eq!(act(&lightning, &set.id), Act::StayIn, "{}", set.id);
        assert_eq!(act(&Weather::default(), &set.id), Act::GoOut, "{}", set.id);
    }
}

/// Celsius is judged by the same limits; figures that are no numbers are left out.
#[test]
fn units_are_converted_before_comparing() {
    let metric = Weather {
        temperature: Some(Temperature::Celsius(-10.0)),
        wind: Some(Wind::KilometresPerHour(20.0)),
        ..Weather::default()
    };
    let verdict = judge(&metric, find(DEFAULT).expect("built in"));
    let reading = verdict.decided_by.expect("a limit is met");
    assert!((celsius(reading.value) + 17.86).abs() < 0.05, "the forms differ by hundredths");
    assert!(reading.formula.expect("named").contains("2001"));
    let broken = Weather {
        temperature: Some(Temperature::Celsius(f64::NAN)),
        humidity: Some(f64::INFINITY),
        ..Weather::default()
    };
    assert_eq!(judge(&broken, find(DEFAULT).expect("built in")).readings.len(), 1, "lightning");
}
