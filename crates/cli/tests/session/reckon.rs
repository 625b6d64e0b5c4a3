//! `chablon reckon`: the published worked examples, as they are typed.

use crate::bench::Session;

/// Reckons, and expects all of it to come to something.
fn reckoned(name: &str, asked: &[&str]) {
    let mut session = Session::empty();
    for one in asked {
        let done = session.run(&format!("reckon {one}"));
        assert_eq!((done.code, done.stderr.as_str()), (0, ""), "{one}");
    }
    session.compare(name);
}

/// The first by Pizza Today, June 2018 (65 °F); the second by the total temperature factor example
/// (88 °F); the third by quoted course notes, with a preferment.
#[test]
fn water_for_a_dough() {
    reckoned(
        "reckon-dough",
        &[
            "water --dough \"80 °F\" --flour \"65 °F\" --room \"75 °F\" --friction \"35 °F\"",
            "water --dough \"78 °F\" --flour \"60 °F\" --room \"70 °F\" --friction \"2 °F\" --mixing \"8 min\"",
            "water --dough \"75 °F\" --flour \"65 °F\" --room \"65 °F\" --preferment \"70 °F\" --friction \"8 °F\"",
            "friction --dough \"25 degC\" --flour \"21 degC\" --room \"23 degC\" --water \"19 degC\"",
            "ice --water \"40 kg\" --tap \"20 °C\" --wanted \"10 °C\"",
            "ice --water \"40 kg\" --tap \"20 °C\" --wanted \"10 °C\" --on-top --heat bakers",
        ],
    );
}

/// The sheet weights and both rules as tabulated; overrun by the University of Guelph.
#[test]
fn set_and_air() {
    reckoned(
        "reckon-set",
        &[
            "gelatine --amount \"12 g\" --from 200 --to 160 --rule proportional",
            "gelatine --amount \"12 g\" --from 200 --to 160 --rule square-root",
            "leaves --amount \"20 g\" --grade gold",
            "overrun --mix \"1090 g\" --product \"560 g\"",
            "aerated --mix \"1.1 g/mL\" --overrun \"100 %\"",
        ],
    );
}

#[test]
fn syrup_and_sugar() {
    reckoned(
        "reckon-syrup",
        &[
            "syrup --brix 65",
            "syrup --sugar \"1350 g\" --water \"1 kg\"",
            "syrup --brix 30",
            "syrup --boils-at \"106.5 °C\"",
            "bring-to --syrup \"2 kg\" --from 65 --to 50",
            "bring-to --syrup \"2 kg\" --from 50 --to 65",
            "boil-down --syrup \"2 kg\" --from 50 --to 65",
            "sugar --at \"118 °C\"",
            "sugar --at \"117 °C\" --altitude \"610 m\"",
        ],
    );
}

#[test]
fn shapes_sheets_and_ovens() {
    reckoned(
        "reckon-shapes",
        &[
            "flat --shape \"disc 16 cm\" --thickness \"8 mm\" --density \"0.55 g/mL\"",
            "flat --shape \"rectangle 60 cm x 40 cm\" --mass \"1.2 kg\" --density \"0.5 g/mL\"",
            "mould --mould \"cylinder 16 cm x 45 mm\" --share \"90 %\" --density \"0.8 g/mL\"",
            "mould --mould \"cylinder 16 cm x 45 mm\" --other \"cylinder 20 cm x 45 mm\"",
            "sheet --sheet \"60 cm x 40 cm\" --piece \"disc 7 cm\" --gap \"2 mm\"",
            "oven --pieces 120 --per-tray 12 --per-load 4",
            "oven --pieces 120 --tray \"60 cm x 40 cm\" --piece \"disc 7 cm\" --gap \"2 cm\" --per-load 4",
        ],
    );
}

/// The formula is the baker's percentage worksheet of 73 baguettes of 390 g.
#[test]
fn formulas_and_eggs() {
    reckoned(
        "reckon-formulas",
        &[
            "formula --line flour=100% --line water=67% --line salt=2% --line yeast=1% --total \"28470 g\"",
            "formula --line flour=100% --line sugar=20% --base \"5 kg\"",
            "blend --first \"36 %\" --second \"3.5 %\" --target \"20 %\" --total \"1 kg\"",
            "eggs --amount \"510 g\"",
            "eggs --amount \"170 g\" --part yolk",
        ],
    );
}

#[test]
fn a_french_kitchen_reckons_in_french() {
    let asked = [
        "water --dough \"25 °C\" --flour \"20 °C\" --room \"22 °C\" --friction \"12 °C\"",
        "gelatine --amount \"12 g\" --from 200 --to 160 --rule proportional",
        "aerated --mix \"1.1 g/mL\" --overrun \"100 %\"",
        "syrup --brix 65",
        "bring-to --syrup \"2 kg\" --from 65 --to 50",
        "sugar --at \"118 °C\"",
        "sheet --sheet \"60 cm x 40 cm\" --piece \"disc 7 cm\" --gap \"2 mm\"",
        "oven --pieces 120 --per-tray 12 --per-load 4",
        "formula --line water=67% --line flour=100% --base \"5 kg\"",
        "eggs --amount \"510 g\"",
    ];
    let french: Vec<String> = asked.iter().map(|one| format!("{one} --language fr")).collect();
    reckoned("reckon-french", &french.iter().map(String::as_str).collect::<Vec<_>>());
}

#[test]
fn json_has_its_keys_and_nothing_else_on_the_stream() {
    let mut session = Session::empty();
    for asked in [
        "gelatine --amount \"12 g\" --from 200 --to 160 --rule square-root",
        "sugar --at \"118 °C\"",
        "oven --pieces 120 --per-tray 12 --per-load 4",
    ] {
        let done = session.run(&format!("reckon {asked} --format json"));
        let reckoned: serde_json::Value = serde_json::from_str(&done.stdout).expect("JSON");
        assert_eq!(reckoned["basis"]["rules"], "1");
        assert!(reckoned["about"][0]["source"].is_string());
        assert!(done.stderr.is_empty());
    }
    session.compare("reckon-json");
}

#[test]
fn outside_the_published_range_there_is_no_figure() {
    let mut session = Session::empty();
    for asked in [
        "water --dough \"24 °C\" --flour \"30 °C\" --room \"30 °C\" --friction \"14 °C\"",
        "ice --water \"40 kg\" --tap \"10 °C\" --wanted \"20 °C\"",
        "gelatine --amount \"12 g\" --from 100 --to 160 --rule proportional",
        "overrun --mix \"500 g\" --product \"560 g\"",
        "syrup --boils-at \"140 °C\"",
        "boil-down --syrup \"2 kg\" --from 65 --to 50",
        "sugar --at \"200 °C\"",
        "sugar --at \"118 °C\" --altitude \"5000 m\"",
        "sheet --sheet \"60 cm x 40 cm\" --piece \"disc 70 cm\"",
        "oven --pieces 120 --per-tray 0 --per-load 4",
        "blend --first \"36 %\" --second \"3.5 %\" --target \"40 %\"",
    ] {
        let done = session.run(&format!("reckon {asked}"));
        assert_eq!((done.code, done.stdout.as_str()), (1, ""), "{asked}: {}", done.stderr);
    }
    for asked in [
        "gelatine --amount \"12 g\" --from 200 --to 160",
        "flat --shape \"star 16 cm\" --thickness \"8 mm\" --density \"0.55 g/mL\"",
        "syrup --brix 101",
        "syrup",
        "oven --pieces 120 --per-load 4",
        "formula --line flour --total \"1 kg\"",
    ] {
        let done = session.run(&format!("reckon {asked}"));
        assert_eq!((done.code, done.stdout.as_str()), (2, ""), "{asked}: {}", done.stderr);
    }
    session.compare("reckon-refused");
}
