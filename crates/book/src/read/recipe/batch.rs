//! The bounds of a batch.

use chablon_model::{Batch, EquipmentClass};
use chablon_quantity::Grams;

use crate::Finding;
use crate::read::fields::Fields;
use crate::read::notes::Named;
use crate::read::quantity::above_zero;
use crate::read::value::Value;

/// The bounds of a batch.
pub(super) fn batch(fields: &mut Fields<'_>) -> Batch {
    let max = fields.optional("max", above_zero);
    let min = fields.optional("min", above_zero);
    let equipment = fields.optional("equipment", equipment_class);
    let batch = Batch { max, min, equipment };
    let crossed = batch.min.zip(batch.max);
    if crossed.is_some_and(|(min, max)| min.quantity().grams() > max.quantity().grams()) {
        fields.note(
            Finding::error("batch-bounds", "the batch's least is more than its most")
                .at(fields.span_of("min"), "the least")
                .at(fields.span_of("max"), "the most")
                .hint("perhaps the two are exchanged"),
        );
    }
    batch
}

/// A class of equipment that a site may have.
pub(super) fn equipment_class(value: &Value<'_>) -> Option<EquipmentClass> {
    value.reference(Named::Equipment)
}
