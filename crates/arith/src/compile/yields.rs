//! Yield and losses of one written batch (section 4 of the rules).

use chablon_model::{Loss, Recipe, Scaling, Yield};
use chablon_quantity::{Exact, Grams};

use super::sheet::{self, Cut};
use crate::compiled::CompiledLine;
use crate::geometry::Outline;
use crate::{Fault, RecipePart, size};

/// What one written batch takes and gives.
pub(super) struct Balance {
    pub(super) proportional: Exact,
    pub(super) per_batch: Exact,
    pub(super) kept: Exact,
    pub(super) factor: Exact,
    pub(super) residue: Exact,
    pub(super) net: Exact,
    pub(super) pieces: Option<Exact>,
    pub(super) piece_mass: Option<Exact>,
    pub(super) unexplained_loss: Exact,
}

type Faults = Vec<(RecipePart, Fault)>;

/// The part of the input that the stated losses leave, and the residue.
pub(super) struct Losses {
    kept: Exact,
    residue: Exact,
}

/// The losses of a recipe, or nothing where one can't be.
pub(super) fn losses(recipe: &Recipe, faults: &mut Faults) -> Option<Losses> {
    let before = faults.len();
    let mut losses = Losses { kept: Exact::from(1), residue: Exact::from(0) };
    for (at, loss) in recipe.losses.iter().enumerate() {
        if let Err(fault) = losses.add(loss) {
            faults.push((RecipePart::Loss(at), fault));
        }
        if !size::manageable(&losses.kept) || !size::manageable(&losses.residue) {
            faults.push((RecipePart::Loss(at), Fault::NumberTooLarge));
            return None;
        }
    }
    (faults.len() == before).then_some(losses)
}

impl Losses {
    fn add(&mut self, loss: &Loss) -> Result<(), Fault> {
        match loss {
            Loss::Stage { fraction, .. } => {
                let fraction = fraction.quantity().0;
                if fraction.is_negative() || fraction >= Exact::from(1) {
                    return Err(Fault::LossOutOfRange { fraction });
                }
                self.kept = &self.kept * (Exact::from(1) - fraction);
            }
            Loss::Residue { mass, .. } => {
                let value = mass.quantity().grams();
                if value.is_negative() {
                    return Err(Fault::Negative { what: "the residue", value });
                }
                self.residue = &self.residue + value;
            }
        }
        Ok(())
    }
}

/// The declared yield: a net mass, or pieces with or without theirs.
#[derive(Default)]
pub(super) struct Declared {
    net: Option<Exact>,
    pieces: Option<Exact>,
    piece_mass: Option<Exact>,
    /// The part of the sheets that pieces are cut from which is in no piece.
    offcut: Option<Exact>,
}

/// The declared yield of a recipe, or nothing where a part of it can't be.
pub(super) fn declared(recipe: &Recipe, faults: &mut Faults) -> Option<Declared> {
    let before = faults.len();
    let mut positive = |what, value: Exact| {
        if !value.is_positive() {
            faults.push((RecipePart::Yield, Fault::NotPositive { what, value: value.clone() }));
        }
        value
    };
    let declared = match &recipe.yields {
        None => Declared::default(),
        Some(Yield::Mass(mass)) => {
            let net = Some(positive("the yield", mass.quantity().grams()));
            Declared { net, ..Declared::default() }
        }
        Some(Yield::Pieces { count, piece_mass, outline }) => {
            let count = positive("the number of pieces", count.quantity().0);
            let each = piece_mass.map(|mass| positive("the piece mass", mass.quantity().grams()));
            if let Some(Err(fault)) = outline.as_ref().map(Outline::try_from) {
                faults.push((RecipePart::Yield, Fault::Shape(fault)));
            }
            Declared::of_pieces(count, each)
        }
        Some(Yield::Sheet(yields)) => match sheet::cut(yields, recipe.density) {
            Ok(Cut { pieces, offcut, piece_mass }) => {
                let each = piece_mass.map(|mass| positive("the piece mass", mass));
                Declared { offcut: Some(offcut), ..Declared::of_pieces(pieces, each) }
            }
            Err(fault) => {
                faults.push((RecipePart::Yield, fault));
                return None;
            }
        },
    };
    (faults.len() == before).then_some(declared)
}

impl Declared {
    fn of_pieces(pieces: Exact, piece_mass: Option<Exact>) -> Self {
        let net = piece_mass.as_ref().map(|each| &pieces * each);
        Self { net, pieces: Some(pieces), piece_mass, offcut: None }
    }
}

/// The balance of one written batch, or nothing where it can't be.
pub(super) fn balance(
    lines: &[CompiledLine],
    losses: Losses,
    declared: Declared,
    faults: &mut Faults,
) -> Option<Balance> {
    let mut fail = |part, fault| {
        faults.push((part, fault));
        None
    };
    let per_batch = |line: &&CompiledLine| line.scaling == Scaling::PerBatch;
    let fixed = size::sum(lines.iter().filter(per_batch).map(|line| &line.mass));
    let scaled = size::sum(lines.iter().filter(|line| !per_batch(line)).map(|line| &line.mass));
    let (Some(per_batch), Some(proportional)) = (fixed, scaled) else {
        return fail(RecipePart::Whole, Fault::NumberTooLarge);
    };
    let input = &proportional + &per_batch;
    if !input.is_positive() {
        return fail(RecipePart::Whole, Fault::NoMass);
    }
    if !proportional.is_positive() {
        return fail(RecipePart::Whole, Fault::NothingScales);
    }
    let Losses { kept, residue } = losses;
    let kept = match &declared.offcut {
        Some(offcut) => kept * (Exact::from(1) - offcut),
        None => kept,
    };
    let net = declared.net.clone().unwrap_or_else(|| &kept * &input - &residue);
    if !net.is_positive() {
        return fail(RecipePart::Whole, Fault::NothingLeft { net });
    }
    let factor = (&net + &residue) / &input;
    let unexplained_loss = match declared.net {
        Some(_) => Exact::from(1) - &factor / &kept,
        None => Exact::from(0),
    };
    let pieces = declared.pieces;
    let piece_mass = declared.piece_mass.or_else(|| Some(&net / pieces.as_ref()?));
    let balance = Balance {
        proportional,
        per_batch,
        kept,
        factor,
        residue,
        net,
        pieces,
        piece_mass,
        unexplained_loss,
    };
    if balance.is_manageable() {
        Some(balance)
    } else {
        fail(RecipePart::Whole, Fault::NumberTooLarge)
    }
}

impl Balance {
    fn is_manageable(&self) -> bool {
        let all = [&self.factor, &self.net, &self.unexplained_loss];
        all.into_iter().chain(&self.piece_mass).all(size::manageable)
    }

    /// The fault of a declared yield that the stated losses don't explain: above 3 % it is worth
    /// a look, above 20 % either way something is wrong.
    pub(super) fn unexplained(&self) -> Option<Fault> {
        let share = self.unexplained_loss.clone();
        let above = |percent| share.abs() > Exact::ratio(percent, 100).expect("not over zero");
        above(3).then(|| Fault::UnexplainedLoss { refused: above(20), share: share.clone() })
    }
}
