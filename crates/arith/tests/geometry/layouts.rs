//! How pieces lie on a sheet.

use chablon_arith::geometry::{
    Along, Fit, GeometryError, Layout, Outline, Pattern, Sheet, Spacing, half_root_three, pi,
};
use chablon_quantity::{Exact, Millimetres, Share};
use proptest::prelude::*;

use crate::{exact, mm, no_gap, tenths};

fn fit(sheet: (&str, &str), piece: &Outline, gap: &str) -> Fit {
    let sheet = Sheet::new(mm(sheet.0), mm(sheet.1)).unwrap();
    sheet.fit(piece, &Spacing::gap(mm(gap)).unwrap()).unwrap()
}

fn disc(diameter: &str) -> Outline {
    Outline::disc(mm(diameter)).unwrap()
}

fn counts(fit: &Fit) -> Vec<u64> {
    fit.layouts().iter().map(|layout| layout.pieces).collect()
}

#[test]
fn discs_of_one_in_a_square_of_ten_from_memory() {
    // From memory, of the literature on packing circles in a square: 100 in rows, 105 in
    // staggered rows of 10 and 9 throughout (and 106 in mixed rows, which aren't tried here).
    let fit = fit(("100", "100"), &disc("10"), "0");
    assert_eq!(counts(&fit), [100, 105, 105]);
    let best = fit.best();
    assert_eq!(best.pattern, Pattern::Staggered { per_offset_row: 9 });
    assert_eq!((best.along, best.rows, best.per_row), (Along::Length, 11, 10));
    assert_eq!(best.offcut, Share(Exact::from(1) - pi() * exact("105/400")));
}

#[test]
fn a_sheet_that_fits_exactly_fits() {
    let in_rows = |sheet, gap| fit(sheet, &disc("20"), gap).best_in_rows().pieces;
    assert_eq!(in_rows(("60", "40"), "0"), 6);
    assert_eq!(in_rows(("68", "44"), "4"), 6);
    assert_eq!(in_rows(("67.999", "44"), "4"), 4);
    assert_eq!(in_rows(("68", "43.999"), "4"), 3);
}

#[test]
fn staggered_rows_fit_at_the_agreed_decimal_and_not_below() {
    let staggered = |width: &str| counts(&fit(("30", width), &disc("10"), "0"))[1];
    assert_eq!(staggered("18.660254037844386"), 3 + 2);
    assert_eq!(staggered("18.660254037844385"), 3);
}

#[test]
fn an_offset_row_is_as_long_as_the_first_where_half_a_step_is_left() {
    let fit = fit(("35", "20"), &disc("10"), "0");
    let along_length = &fit.layouts()[1];
    assert_eq!(along_length.pattern, Pattern::Staggered { per_offset_row: 3 });
    assert_eq!(along_length.pieces, 6);
    assert_eq!(fit.best().pattern, Pattern::Rows, "of equals the plainest");
}

#[test]
fn rows_along_the_other_side_can_hold_more() {
    let fit = fit(("187", "100"), &disc("10"), "0");
    // Computed: along the length 11 rows of 18 and 18; along the width 21 rows of 10 and 9.
    assert_eq!(counts(&fit), [180, 198, 200]);
    assert_eq!(fit.best().along, Along::Width);
    assert_eq!(fit.best_in_rows().pieces, 180);
}

#[test]
fn a_ring_takes_the_room_of_its_disc_and_its_hole_is_offcut() {
    let ring = Outline::ring(mm("20"), mm("10")).unwrap();
    let (rings, discs) = (fit(("60", "40"), &ring, "0"), fit(("60", "40"), &disc("20"), "0"));
    assert_eq!(counts(&rings), counts(&discs));
    assert_eq!(rings.best().offcut, Share(Exact::from(1) - exact("3/16") * pi()));
}

#[test]
fn rectangles_are_tried_both_ways() {
    let piece = Outline::rectangle(mm("110"), mm("30")).unwrap();
    let fit = fit(("600", "400"), &piece, "2");
    // Computed: 5 x 12 lengthwise; turned 18 x 3, where the row runs along the width.
    assert_eq!(counts(&fit), [60, 54]);
    let turned = &fit.layouts()[1];
    assert_eq!((turned.along, turned.rows, turned.per_row), (Along::Width, 18, 3));
    assert_eq!(fit.best().offcut, Share(exact("7/40")));
}

#[test]
fn an_edge_is_kept_free_but_counts_as_offcut() {
    let sheet = Sheet::new(mm("600"), mm("400")).unwrap();
    let piece = Outline::rectangle(mm("100"), mm("100")).unwrap();
    let fit = sheet.fit(&piece, &no_gap().with_edge(mm("10")).unwrap()).unwrap();
    assert_eq!(fit.best().pieces, 15);
    assert_eq!(fit.best().offcut, Share(exact("3/8")));
}

#[test]
fn what_does_not_fit_says_so() {
    let sheet = Sheet::new(mm("300"), mm("190")).unwrap();
    let error = sheet.fit(&disc("200"), &no_gap()).unwrap_err();
    assert_eq!(
        error.to_string(),
        "a disc of 200 mm doesn't fit on 300 x 190 mm; take a larger sheet, a smaller edge or \
         a smaller piece"
    );
    let error = sheet.fit(&disc("20"), &no_gap().with_edge(mm("95")).unwrap()).unwrap_err();
    let message = "an edge of 95 mm all round leaves nothing of a sheet of 300 x 190 mm";
    assert_eq!(error.to_string(), message);
    let error = Spacing::gap(mm("-1")).unwrap_err();
    assert_eq!(error.to_string(), "the gap is -1 mm; it can be 0 but not below");
}

#[test]
fn a_count_beyond_counting_is_refused() {
    let sheet = Sheet::new(mm("99999999999999999"), mm("99999999999999999")).unwrap();
    let error = sheet.fit(&disc("0.001"), &no_gap()).unwrap_err();
    assert!(matches!(error, GeometryError::TooMany { .. }), "{error}");
}

/// The middle of every disc of a layout, on the side the rows run along and across it.
fn middles(layout: &Layout, diameter: &Exact, step: &Exact) -> Vec<(Exact, Exact)> {
    let half = exact("1/2");
    let mut middles = Vec::new();
    for row in 0..layout.rows {
        let (count, shift, pitch) = match layout.pattern {
            Pattern::Rows => (layout.per_row, exact("0"), step.clone()),
            Pattern::Staggered { per_offset_row } if row % 2 == 1 => {
                (per_offset_row, &half * step, step * half_root_three())
            }
            Pattern::Staggered { .. } => (layout.per_row, exact("0"), step * half_root_three()),
        };
        let across = diameter * &half + Exact::from(row) * pitch;
        for place in 0..count {
            let along = diameter * &half + &shift + Exact::from(place) * step;
            middles.push((along, across.clone()));
        }
    }
    middles
}

/// Whether every two discs are a gap apart. The agreed decimal for half the root of 3 is some
/// 5e-17 short of it, hence the allowance of 1e-15 of the square.
fn apart(middles: &[(Exact, Exact)], step: &Exact) -> bool {
    let least = step * step * (Exact::from(1) - Exact::power_of_ten(-15));
    middles.iter().enumerate().all(|(index, a)| {
        middles[..index].iter().all(|b| {
            let (x, y) = (&a.0 - &b.0, &a.1 - &b.1);
            &x * &x + &y * &y >= least
        })
    })
}

proptest! {
    /// The layout drawn out disc by disc, apart from the counting: as many as stated, all on
    /// the sheet, none over another.
    #[test]
    fn every_disc_of_a_layout_has_its_place(length in 100u32..1_200, width in 100u32..1_200,
                                            diameter in 100u32..400, gap in 0u32..40) {
        let (l, w, d, g) = (tenths(length), tenths(width), tenths(diameter), tenths(gap));
        let sheet = Sheet::new(l.clone(), w.clone()).unwrap();
        let spacing = Spacing::gap(g.clone()).unwrap();
        let Ok(fit) = sheet.fit(&Outline::disc(d.clone()).unwrap(), &spacing) else {
            prop_assert!(diameter > length.min(width));
            return Ok(());
        };
        let (diameter, step) = (d.millimetres(), d.millimetres() + g.millimetres());
        for layout in fit.layouts() {
            let (along, across) = match layout.along {
                Along::Length => (l.millimetres(), w.millimetres()),
                Along::Width => (w.millimetres(), l.millimetres()),
            };
            let middles = middles(layout, &diameter, &step);
            prop_assert_eq!(middles.len() as u64, layout.pieces);
            prop_assert!(apart(&middles, &step));
            let half = &diameter * exact("1/2");
            let on_sheet = |m: &(Exact, Exact)| &m.0 + &half <= along && &m.1 + &half <= across;
            prop_assert!(middles.iter().all(on_sheet));
        }
    }

    #[test]
    fn a_larger_sheet_never_gives_fewer(length in 100u32..20_000, width in 100u32..20_000,
                                        diameter in 100u32..2_000, gap in 0u32..100,
                                        more in 0u32..2_000) {
        let count = |length, width, gap| {
            let sheet = Sheet::new(tenths(length), tenths(width)).unwrap();
            let piece = Outline::disc(tenths(diameter)).unwrap();
            let fit = sheet.fit(&piece, &Spacing::gap(tenths(gap)).unwrap());
            fit.map_or(0, |fit| fit.best().pieces)
        };
        let here = count(length, width, gap);
        prop_assert!(count(length + more, width, gap) >= here);
        prop_assert!(count(length, width + more, gap) >= here);
        prop_assert!(count(length, width, gap + more) <= here);
        prop_assert_eq!(count(width, length, gap), here, "a sheet can be turned");
    }

    #[test]
    fn the_offcut_and_the_pieces_make_the_sheet(length in 100u32..9_000, width in 100u32..9_000,
                                                a in 50u32..1_000, b in 50u32..1_000) {
        let sheet = Sheet::new(tenths(length), tenths(width)).unwrap();
        let piece = Outline::rectangle(tenths(a), tenths(b)).unwrap();
        if let Ok(fit) = sheet.fit(&piece, &no_gap()) {
            for layout in fit.layouts() {
                let used = Exact::from(layout.pieces) * Exact::from(a) * Exact::from(b);
                let whole = Exact::from(length) * Exact::from(width);
                prop_assert_eq!(&used + &layout.offcut.0 * &whole, whole);
                prop_assert!(layout.offcut.0 >= Exact::from(0));
            }
        }
    }
}
