//! A finish schedule: the trade's list of steps for one finish, from first grit to last rub.
//!
//! Invariant: steps stand in working order; every product a step names is in [`Schedule::products`].

use super::figure::Figure;
use super::grit::Grit;
use super::product::{Method, Product};

/// The steps the trade knows. The names in files are the kebab-case ones of the plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum StepKind {
    /// Mark piece, hand and show face where no finish goes.
    Label,
    /// Wipe for glue spots, dents and scratches.
    Check,
    /// Let glue water leave the timber.
    Settle,
    /// Sand all over with one grit.
    Sand,
    /// Break the arrises.
    Arris,
    /// Wet to lift the fibres.
    RaiseGrain,
    /// Cut the raised fibres back.
    CutBack,
    /// Tape and plug the joints.
    Mask,
    /// Vacuum and wipe before the first coat.
    DustOff,
    /// Fill the grain.
    Fill,
    /// Dye or stain.
    Colour,
    /// The first, thin coat.
    Seal,
    /// A coat.
    Coat,
    /// Take the excess off.
    WipeBack,
    /// Take off what bled back.
    ReWipe,
    /// Knock the nibs off between coats.
    Denib,
    /// Scratch for grip.
    Scuff,
    /// Sand the film level.
    Flat,
    /// Lay a piece over.
    Turn,
    /// Take tape and plugs off.
    Unmask,
    /// Bring to an even sheen.
    RubOut,
    /// A coat of wax.
    Wax,
    /// Buff the wax.
    Buff,
    /// Mix two parts.
    Mix,
    /// Change brushes, product or gun.
    ChangeOver,
    /// Clean out and see to the rags.
    CleanUp,
    /// Glue a section up.
    GlueUp,
}

/// Whether a step is done on the loose pieces or on the assembled piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Phase {
    /// On loose pieces, before the glue-up.
    Loose,
    /// On the assembly, after the glue has cured.
    Assembled,
}

/// One line of a schedule.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// What is done.
    pub kind: StepKind,
    /// With which grit, for steps that abrade.
    pub grit: Option<Grit>,
    /// With which product, by id.
    pub product: Option<String>,
    /// How a product goes on.
    pub method: Option<Method>,
    /// Loose or assembled.
    pub phase: Phase,
    /// Left undone on surfaces that are not shown (a final rub-out may skip them).
    pub show_only: bool,
    /// For sanding, grain raising and wipes: the first coat must be on within this long, minutes, or the
    /// step is done again.
    pub stale_after: Option<Figure>,
    /// A wait after the step that is not a film drying (raised grain, haze of wax), minutes.
    pub wait: Option<Figure>,
    /// A line for the person doing it.
    pub note: Option<String>,
}

/// A whole schedule.
#[derive(Clone, Debug, PartialEq)]
pub struct Schedule {
    /// Identifier used in files.
    pub id: String,
    /// Name for reading.
    pub name: String,
    /// One sentence on what it is for.
    pub summary: String,
    /// The products of its steps.
    pub products: Vec<Product>,
    /// The steps, in working order.
    pub steps: Vec<Step>,
}

impl Schedule {
    /// Whether a step of this kind leaves a film that counts as a coat.
    pub const fn is_coat(kind: StepKind) -> bool {
        matches!(kind, StepKind::Seal | StepKind::Coat)
    }

    /// The schedule this one was made from by adding coats at the bench; its own id where none were added.
    pub fn trunk(&self) -> &str {
        trunk(&self.id)
    }

    /// The product with this id.
    pub fn product(&self, id: &str) -> Option<&Product> {
        self.products.iter().find(|product| product.id == id)
    }

    /// The loose steps, each with how many coats stand before it: colour between coats is a glaze or a toner, a
    /// check after them a dry fit.
    pub fn loose_after(&self) -> impl Iterator<Item = (usize, &Step)> {
        let mut coats = 0;
        let loose = self.steps.iter().filter(|step| step.phase == Phase::Loose);
        loose.map(move |step| {
            let before = coats;
            coats += usize::from(Self::is_coat(step.kind));
            (before, step)
        })
    }

    /// The products due as coats on every surface finished with this schedule, in order (loose phase).
    pub fn coats_due(&self) -> impl Iterator<Item = &str> {
        self.steps
            .iter()
            .filter(|step| step.phase == Phase::Loose && Self::is_coat(step.kind))
            .filter_map(|step| step.product.as_deref())
    }
}

/// The part of a schedule's id before the coats added at the bench: `shellac` of `shellac+2`.
pub fn trunk(id: &str) -> &str {
    id.split_once('+').map_or(id, |(trunk, _)| trunk)
}
