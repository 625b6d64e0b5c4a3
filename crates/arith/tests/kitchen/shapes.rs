//! Amounts by shape and yields from sheets, worked by hand with pi = 3.141592653589793.

use chablon_arith::geometry::{Pattern, lay_out};
use chablon_arith::{Library, compile};
use chablon_model::{
    Amount, Ingredient, Line, Mould, Outline, PieceSize, Recipe, Shape, ShapeAmount, Sheet,
    SheetLayout, SheetYield, Yield,
};
use chablon_quantity::Exact;

use crate::book::{ingredient, loses, n, recipe, residue, take};

fn flat(outline: Outline, thickness: &str, count: Option<&str>) -> Amount {
    let shape = Shape::Flat { outline, thickness: thickness.parse().unwrap() };
    let count = count.map(|count| count.parse().unwrap());
    Amount::Shape(Box::new(ShapeAmount { shape, count }))
}

fn fill(mould: Mould, filled: Option<&str>) -> Amount {
    let shape = Shape::Fill { mould, share: filled.map(|filled| filled.parse().unwrap()) };
    Amount::Shape(Box::new(ShapeAmount { shape, count: None }))
}

fn disc(diameter: &str) -> Outline {
    Outline::Disc { diameter: diameter.parse().unwrap() }
}

fn of_shape(amount: Amount) -> Line {
    Line { amount, ..take("cream", "1 g") }
}

fn larder() -> [Ingredient; 1] {
    [Ingredient { density: Some("0.5 g/mL".parse().unwrap()), ..ingredient("cream") }]
}

/// What a line of cream of 0.5 g/mL weighs.
fn mass(amount: Amount) -> Exact {
    let recipes = [recipe("mix", vec![of_shape(amount)])];
    let larder = larder();
    let (book, problems) = compile(&Library::new(&larder, &recipes));
    assert_eq!(problems, []);
    book.lines()[0].mass.clone()
}

/// How a recipe of one line with this amount is refused.
fn refusal(larder: &[Ingredient], amount: Amount) -> (&'static str, String) {
    let recipes = [recipe("mix", vec![of_shape(amount)])];
    let (_, problems) = compile(&Library::new(larder, &recipes));
    assert_eq!(problems[0].line(), Some(0));
    (problems[0].code(), problems[0].to_string())
}

#[test]
fn flat_shapes_weigh_their_volume() {
    // pi/4 x 16² x 0.4 x 0.5 = pi x 12.8
    let pi = n("3141592653589793/1000000000000000");
    assert_eq!(mass(flat(disc("16 cm"), "4 mm", None)), &pi * n("64/5"));
    assert_eq!(mass(flat(disc("160 mm"), "0.4 cm", Some("48 pieces"))), &pi * n("3072/5"));
    // pi/4 x (18² - 14²) x 1 x 0.5 = pi x 16
    let ring = Outline::Ring { outer: "18 cm".parse().unwrap(), inner: "14 cm".parse().unwrap() };
    assert_eq!(mass(flat(ring, "1 cm", None)), &pi * n("16"));
    let sheet =
        Outline::Rectangle { length: "60 cm".parse().unwrap(), width: "0.4 m".parse().unwrap() };
    assert_eq!(mass(flat(sheet, "5 mm", None)), n("600"));
    // pi x 16 x 4.5 x 0.3 x 0.5 = pi x 10.8
    let strip = Outline::StripAround {
        diameter: "16 cm".parse().unwrap(),
        height: "4.5 cm".parse().unwrap(),
    };
    assert_eq!(mass(flat(strip, "3 mm", None)), &pi * n("54/5"));
}

#[test]
fn fills_weigh_what_the_mould_holds() {
    let pi = n("3141592653589793/1000000000000000");
    let size = |text: &str| text.parse().unwrap();
    let cylinder = Mould::Cylinder { diameter: size("16 cm"), height: size("4.5 cm") };
    // pi/4 x 256 x 4.5 x 0.5 = pi x 144
    assert_eq!(mass(fill(cylinder, None)), &pi * n("144"));
    assert_eq!(mass(fill(cylinder, Some("100 %"))), &pi * n("144"));
    assert_eq!(mass(fill(cylinder, Some("90 %"))), &pi * n("648/5"));
    let ring = Mould::Ring { outer: size("10 cm"), inner: size("6 cm"), height: size("2 cm") };
    // pi/4 x (100 - 36) x 2 x 0.5 = pi x 16
    assert_eq!(mass(fill(ring, None)), &pi * n("16"));
    let frame = Mould::Frame { length: size("60 cm"), width: size("40 cm"), height: size("4 cm") };
    assert_eq!(mass(fill(frame, None)), n("4800"));
    // pi/12 x 6³ x 0.5 = pi x 9
    assert_eq!(mass(fill(Mould::HalfSphere { diameter: size("6 cm") }, None)), &pi * n("9"));
    let cone = Mould::ConeFrustum { top: size("4 cm"), bottom: size("2 cm"), height: size("6 cm") };
    // pi/12 x 6 x (16 + 8 + 4) x 0.5 = pi x 7
    assert_eq!(mass(fill(cone, None)), &pi * n("7"));
    let loaf = Mould::Loaf {
        top_length: size("20 cm"),
        top_width: size("10 cm"),
        bottom_length: size("18 cm"),
        bottom_width: size("8 cm"),
        height: size("6 cm"),
    };
    // 6/6 x (200 + 38 x 18 + 144) x 0.5 = 514
    assert_eq!(mass(fill(loaf, None)), n("514"));
    let log = Mould::HalfCylinder { diameter: size("8 cm"), length: size("50 cm") };
    // pi/8 x 64 x 50 x 0.5 = pi x 200
    assert_eq!(mass(fill(log, None)), &pi * n("200"));
    let savarin = Mould::Savarin { outer: size("18 cm"), tube: size("4 cm") };
    // pi/8 x 16 x pi x 14 x 0.5 = pi² x 14
    assert_eq!(mass(fill(savarin, None)), &pi * &pi * n("14"));
}

#[test]
fn shapes_that_can_not_be_are_refused() {
    let (code, text) = refusal(&larder(), flat(disc("0 cm"), "4 mm", None));
    assert_eq!((code, &*text), ("shape", "the diameter is 0 mm; it must be above 0"));
    let (code, text) = refusal(
        &larder(),
        fill(Mould::HalfSphere { diameter: "7 cm".parse().unwrap() }, Some("101 %")),
    );
    assert_eq!(code, "shape");
    assert_eq!(text, "a mould can't be filled to 101 %; a fill is above 0 % and at most 100 %");
    let (code, text) = refusal(&[ingredient("cream")], flat(disc("16 cm"), "4 mm", None));
    assert_eq!(code, "missing-density");
    assert_eq!(text, "a volume of `cream` has no mass without its density");
}

/// Pieces of this outline from a sheet of 60 x 40 cm.
fn cut(
    piece: Outline,
    layout: SheetLayout,
    sheets: u32,
    each: Option<PieceSize>,
) -> Box<SheetYield> {
    let size = |text: &str| text.parse().unwrap();
    let sheet = Sheet { length: size("60 cm"), width: size("40 cm"), gap: None, edge: None };
    Box::new(SheetYield { sheet, piece, layout, sheets: sheets.try_into().unwrap(), each })
}

fn yields(recipe: Recipe, made: Box<SheetYield>) -> Recipe {
    Recipe { yields: Some(Yield::Sheet(made)), ..recipe }
}

fn square() -> Outline {
    let side = || "11 cm".parse().unwrap();
    Outline::Rectangle { length: side(), width: side() }
}

#[test]
fn the_offcut_is_a_stated_loss() {
    // 5 x 3 squares of 121 cm² from 2400 cm²: 1815 / 2400 = 121/160 is in pieces.
    let made = loses(recipe("squares", vec![take("cream", "1600 g")]), "10 %");
    let recipes = [yields(residue(made, "9 g"), cut(square(), SheetLayout::Best, 2, None))];
    let larder = larder();
    let (book, problems) = compile(&Library::new(&larder, &recipes));
    assert_eq!(problems, []);
    let squares = &book.recipes()[0];
    assert_eq!(squares.kept, n("1089/1600"));
    assert_eq!(squares.factor, squares.kept);
    assert_eq!(squares.net, n("1080"));
    assert_eq!(squares.pieces, Some(n("30")));
    assert_eq!(squares.piece_mass, Some(n("36")));
    assert_eq!(squares.unexplained_loss, n("0"));
}

#[test]
fn a_stated_piece_is_held_against_what_the_offcut_leaves() {
    let with = |each: &str| {
        let each = PieceSize::Mass(each.parse().unwrap());
        let made = yields(
            recipe("squares", vec![take("cream", "1600 g")]),
            cut(square(), SheetLayout::Rows, 1, Some(each)),
        );
        let larder = larder();
        let (book, problems) = compile(&Library::new(&larder, &[made]));
        let found = book.recipes().first().map(|squares| squares.unexplained_loss.clone());
        (found, problems.iter().map(|one| (one.code(), one.severity())).collect::<Vec<_>>())
    };
    // 1600 x 121/160 = 1210 g for 15 pieces: 80 2/3 g each.
    assert_eq!(with("242/3 g"), (Some(n("0")), vec![]));
    assert_eq!(with("80 g"), (Some(n("1/121")), vec![]));
    let (found, problems) = with("78 g");
    assert_eq!(found, Some(n("4/121")));
    assert_eq!(problems, [("unexplained-loss", chablon_arith::Severity::Warning)]);
    let (found, problems) = with("60 g");
    assert_eq!(found, None);
    assert_eq!(problems, [("unexplained-loss", chablon_arith::Severity::Error)]);
}

#[test]
fn a_thickness_weighs_by_the_density_of_the_recipe() {
    let each = || Some(PieceSize::Thickness("10 mm".parse().unwrap()));
    let made = recipe("squares", vec![take("cream", "1600 g")]);
    let dense = Recipe { density: Some("2/3 g/mL".parse().unwrap()), ..made.clone() };
    let recipes = [yields(dense, cut(square(), SheetLayout::Best, 1, each()))];
    let larder = larder();
    let (book, problems) = compile(&Library::new(&larder, &recipes));
    assert_eq!(problems, []);
    assert_eq!(book.recipes()[0].piece_mass, Some(n("242/3")));
    assert_eq!(book.recipes()[0].net, n("1210"));
    let recipes = [yields(made, cut(square(), SheetLayout::Best, 1, each()))];
    let (_, problems) = compile(&Library::new(&larder, &recipes));
    assert_eq!(problems[0].code(), "missing-density");
    assert!(problems[0].hint().contains("piece_mass"), "{}", problems[0].hint());
}

#[test]
fn a_layout_is_the_one_that_is_asked_for() {
    let laid = |layout| lay_out(&cut(disc("5 cm"), layout, 1, None)).unwrap();
    // Rows: 12 x 8. Staggered along the length: 9 rows at 4.33 cm, 12 and 11 in turn.
    assert_eq!(laid(SheetLayout::Rows).pieces, 96);
    let staggered = laid(SheetLayout::Staggered);
    assert_eq!((staggered.rows, staggered.pieces), (9, 5 * 12 + 4 * 11));
    assert_eq!(staggered.pattern, Pattern::Staggered { per_offset_row: 11 });
    assert_eq!(laid(SheetLayout::Best), staggered);
    let error = lay_out(&cut(square(), SheetLayout::Staggered, 1, None)).unwrap_err();
    assert_eq!(error.to_string(), "110 x 110 mm can't lie staggered; only discs and rings can");
    let error = lay_out(&cut(disc("41 cm"), SheetLayout::Best, 1, None)).unwrap_err();
    assert!(error.to_string().starts_with("a disc of 410 mm doesn't fit on 600 x 400 mm"));
}
