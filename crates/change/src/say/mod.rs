//! Changes as sentences.

mod amounts;
mod departure;
mod figures;
mod list;
mod method;
mod others;
mod words;

use std::fmt;

pub use departure::departure_words;

use crate::{Change, What};

impl fmt::Display for Change {
    /// `recipe/honey-bavarois: storage: frozen for 14 d instead of frozen for 30 d`
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}", self.place, self.what)
    }
}

impl fmt::Display for What {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&sentence(self))
    }
}

fn sentence(what: &What) -> String {
    match what {
        What::Allergens(change) => figures::allergens(change),
        What::Statement(changes) => figures::statement(changes),
        What::Understated { constituent, allergen, says } => {
            figures::understated(constituent, allergen, *says)
        }
        What::NotTold(not) => figures::not_told(not),
        What::Limit(limit) => method::limit(limit),
        What::Storage(storage) => method::storage(storage.as_ref()),
        What::Step(step) => method::step(step),
        What::StepOrder(order) => method::step_order(order),
        What::Instruction { step, text } => method::instruction(step, text),
        What::StepTime { step, hands, time } => method::step_time(step, *hands, time),
        What::StepLabour { step, labour } => {
            let labour = labour.map(chablon_model::Labour::as_str);
            format!("step `{step}`: hands-on time {}", words::instead(labour))
        }
        What::StepEquipment { step, equipment } => {
            format!("step `{step}` occupies {}", words::either(equipment, "nothing"))
        }
        What::StepAfter { step, after } => method::step_after(step, after),
        What::Control { step, control } => method::control(step, control),
        What::Lines(lines) => amounts::lines(lines),
        What::LineSetting { uses, number, setting } => {
            amounts::line_setting(&uses.after, *number, setting)
        }
        What::Base(base) => amounts::base(base),
        What::Density(density) => format!("density {}", words::either(density, "unstated")),
        What::PieceMass(mass) => format!("piece mass {}", words::either(mass, "unstated")),
        What::EdibleYield(share) => format!("edible yield {}", words::either(share, "unstated")),
        What::Yield(yields) => amounts::yields(yields.as_ref()),
        What::Makes(makes) => amounts::makes(makes),
        What::Loss(loss) => amounts::loss(loss),
        What::Batch { bound, mass } => amounts::batch(*bound, mass),
        What::BatchEquipment(equipment) => {
            format!("a batch is bounded by {}", words::either(equipment, "no equipment"))
        }
        What::Stated(content) => figures::stated(content),
        What::Declared(figures) => figures::declared(figures),
        What::MadeOf(parts) => others::made_of(parts),
        What::LabelName { language, name } => {
            let name = name.as_ref().map(|name| name.as_ref().map(|name| words::quoted(name)));
            format!("name on labels ({language}): {}", words::either(&name, "none"))
        }
        What::Content(content) => figures::content(content),
        What::Label { regime, figures } => figures::label(*regime, figures),
        What::IngredientList { regime, language, text } => {
            list::ingredient_list(*regime, language, text)
        }
        What::Cost(cost) => figures::cost(cost),
        What::Price(price) => others::price(price),
        What::Rate(rate) => others::rate(rate),
        What::PricesOf(site) => format!("holds for {}", words::either(site, "the group")),
        What::Document(presence) => others::document(presence),
        What::Site(change) => others::site(change),
        What::Settings(change) => others::settings(change),
        What::StepRenamed(id) => {
            format!("step `{}` is called `{}`, and is otherwise the same", id.before, id.after)
        }
        What::Wording { of, language, text } => others::wording(of, language.as_ref(), text),
        What::Order(listed) => others::order(*listed),
        What::Rewritten => "written otherwise, with the same meaning".to_owned(),
    }
}
