//! One design at several prices: a ladder of sizes, quantities, sets, and ways of selling.

mod breaks;
mod card;
mod channels;
mod ladder;
mod set;

use super::costs::{Costs, Growth};
use super::input::{ChannelInput, QuoteInput};
use super::packs::{self, Pack};
use crate::decal::SIDE;
use crate::drawing::Element;
use crate::error::{Checks, InputErrors};
use crate::input::read_by_members;
use crate::material::{self, MaterialReport};
use crate::measure::{Count, Length, LengthInput, NumberInput, Unit, required};
pub use breaks::QuantityBreak;
pub use card::{Lower, OfferedFilmInput, RateCardInput, rate_card};
pub use channels::ChannelPrice;
use channels::Day;
pub use ladder::{Change, Rung, StepUp};
use rust_decimal::Decimal;
use say::say;
use serde::Serialize;
pub use set::SetReport;

read_by_members! {
    /// The question: what to ask for other sizes, for more pieces, for a set, and through other channels.
    #[derive(Clone, Debug, Default, PartialEq)]
    pub struct PricesInput {
        /// The order at its present size and channel.
        pub quote: QuoteInput,
        /// The sizes of the ladder, up to [`MOST`]; the height follows the width in proportion.
        pub sizes: Vec<SizeInput> = default,
        /// How much of the work on a piece grows with its size, in hundredths; none where left out.
        pub grows: Option<NumberInput> = default,
        /// The pay an hour below which no quantity is sold; the wage where left out.
        pub floor: Option<String> = default,
        /// The quantities from which a lower price counts, up to [`MOST`], divided by commas:
        /// `1, 5, 10, 25`.
        pub quantities: Option<String> = default,
        /// What it costs to post more pieces: from how many for how much, `10 for 5.10; 50 for 9.40`. Fewer
        /// go for what the quote pays.
        pub postages: Option<String> = default,
        /// The pieces of a set, up to [`MOST`].
        pub set: Vec<SetPartInput> = default,
        /// Other ways of selling, up to 50.
        pub channels: Vec<ChannelInput> = default,
        /// A day at a fair, which its sales have to pay for.
        pub fair: FairDayInput = default,
    }
}

read_by_members! {
    /// A size of the ladder.
    #[derive(Clone, Debug, Default, PartialEq)]
    pub struct SizeInput {
        /// Width of a piece over everything that is cut; its height follows in proportion.
        pub width: Option<LengthInput> = default,
        /// A price of the maker's own for a piece of it; where left out or empty, the price that reaches
        /// the target.
        pub price: Option<String> = default,
    }
}

read_by_members! {
    /// So many pieces of a size in a set.
    #[derive(Clone, Debug, Default, PartialEq)]
    pub struct SetPartInput {
        /// Width of a piece; the height follows in proportion.
        pub width: Option<LengthInput> = default,
        /// How many; one where left out.
        pub count: Option<Count> = default,
    }
}

read_by_members! {
    /// A day at a fair. What its sales bear of it is only told where their number is.
    #[derive(Clone, Debug, Default, PartialEq)]
    pub struct FairDayInput {
        /// What the table costs.
        pub table_fee: Option<String> = default,
        /// Other costs of the day.
        pub travel: Option<String> = default,
        /// Hours at the table.
        pub hours: Option<NumberInput> = default,
        /// How many customers are expected to buy that day.
        pub sales: Option<Count> = default,
    }
}

/// More sizes, quantities or parts than anybody offers.
pub const MOST: usize = 12;

/// The answer: what to ask, and what each offer brings.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct PricesReport {
    /// ISO 4217 code of every amount below.
    pub currency: String,
    /// Decimals that the amounts are shown with.
    pub decimals: u32,
    /// The ladder of sizes, the smallest first.
    pub sizes: Vec<Rung>,
    /// Which size pays best, in words; none without work or with fewer than two sizes.
    pub best: Option<String>,
    /// Where a larger size pays less an hour than the one before it, and why; none where none does.
    pub drop: Option<String>,
    /// The prices by quantity, the least first.
    pub quantities: Vec<QuantityBreak>,
    /// The set, if one was asked for.
    pub set: Option<SetReport>,
    /// The ways of selling, in the order of the input.
    pub channels: Vec<ChannelPrice>,
    /// What was taken for granted.
    pub assumptions: Vec<&'static str>,
    #[serde(skip)]
    chart: Option<Element>,
}

impl PricesReport {
    /// Price and cost of a piece by its width, with the size steps of the film ticked; none with fewer
    /// than two sizes.
    #[must_use]
    pub const fn drawing(&self) -> Option<&Element> {
        self.chart.as_ref()
    }
}

/// Reckons the offers.
///
/// # Errors
/// Those of [`report`](super::report) within `quote`; sizes that do not fit the film; counts, amounts
/// and shares that cannot be read;
/// [`Code::Impossible`](crate::error::Code::Impossible) where no price reaches its aim.
pub fn prices(input: &PricesInput) -> Result<PricesReport, InputErrors> {
    let desk = Desk::read(input)?;
    let mut checks = Checks::default();
    let ladder = checks.take(ladder::ladder(&desk));
    let quantities = checks.take(breaks::breaks(&desk));
    let set = checks.take(set::set(&desk));
    let channels = checks.take(channels::channels(&desk));
    let mut assumptions = vec![
        say!(
            "Packing, and what goes along with an order, are those of the present order: a size or a number of pieces that needs a larger mailer costs more than is told here."
        ),
        say!(
            "More pieces weigh more: what posting them costs follows their number only where that is entered."
        ),
    ];
    if desk.grows.is_zero() {
        assumptions.push(say!(
            "The work on a piece is taken to be the same at every size."
        ));
    } else {
        assumptions.push(say!(
            "The part of the work that grows does so with the width, as the length of the cut does."
        ));
    }
    let ladder = ladder.unwrap_or_default();
    checks.finish(PricesReport {
        currency: desk.base.terms.currency.code().to_owned(),
        decimals: desk.base.terms.currency.exponent(),
        best: ladder::best(&ladder.rungs),
        drop: ladder::drop(&ladder.rungs),
        sizes: ladder.rungs,
        chart: ladder.chart,
        quantities: quantities.unwrap_or_default(),
        set: set.flatten(),
        channels: channels.unwrap_or_default(),
        assumptions,
    })
}

/// What all offers start from.
struct Desk<'a> {
    input: &'a PricesInput,
    unit: Unit,
    /// The present size.
    width: Length,
    height: Length,
    /// The costs of an order of the present size.
    base: Costs,
    layout: MaterialReport,
    /// Fraction of the work on a piece that grows with its size.
    grows: Decimal,
    /// By how much work and cut have grown from another size to the present one.
    growth: Growth,
    /// What posting costs from so many pieces on, the least number first.
    postages: Vec<Pack>,
    /// What an order over a table bears of the day, where that is asked.
    day: Option<Day>,
}

impl<'a> Desk<'a> {
    fn read(input: &'a PricesInput) -> Result<Self, InputErrors> {
        Self::read_grown(input, Growth::default())
    }

    /// The same for a size whose work and cut have grown from that which the input tells them of.
    fn read_grown(input: &'a PricesInput, growth: Growth) -> Result<Self, InputErrors> {
        let quote = &input.quote;
        let unit = quote.material.unit;
        let within = |errors: InputErrors| errors.within("quote");
        let layout = material::report(&quote.material)
            .map_err(|errors| within(errors.within("material")))?;
        let base = Costs::read_grown(quote, Some(&layout), growth).map_err(within)?;
        let mut checks = Checks::default();
        let side = |input: fn(&material::PieceInput) -> Option<&LengthInput>| {
            let input = quote.material.pieces.first().and_then(input);
            required(input, "quote.material.pieces[0]", unit, SIDE)
        };
        let width = checks.take(side(|piece| piece.width.as_ref()));
        let height = checks.take(side(|piece| piece.height.as_ref()));
        let grows = super::costs::percent(input.grows.as_ref()).map_err(|error| error.at("grows"));
        let grows = checks.take(grows).unwrap_or_default();
        let typed = input.postages.as_deref().unwrap_or_default();
        let mut postages = Vec::new();
        if !typed.trim().is_empty() {
            let read = packs::parse(typed, base.terms.currency);
            let read = checks.take(read.map_err(|error| error.at("postages")));
            for postage in read.unwrap_or_default() {
                let fewer = postages
                    .iter()
                    .take_while(|other: &&Pack| other.count <= postage.count);
                postages.insert(fewer.count(), postage);
            }
        }
        let counts = [
            ("sizes", input.sizes.len(), MOST),
            ("set", input.set.len(), MOST),
            ("channels", input.channels.len(), 50),
        ];
        for (path, count, most) in counts {
            if count > most {
                checks.add(super::costs::too_many(most).at(path));
            }
        }
        checks.finish(Self {
            input,
            unit,
            width: width.unwrap_or_default(),
            height: height.unwrap_or_default(),
            base,
            layout,
            grows,
            growth,
            postages,
            day: None,
        })
    }

    /// The costs of an order of `pieces` at another width, and the layout they come from; mistakes in
    /// the size are at `path`.
    fn at_width(
        &self,
        width: Length,
        pieces: u32,
        path: &str,
    ) -> Result<(Costs, MaterialReport), InputErrors> {
        let mut quote = self.input.quote.clone();
        quote.pieces = Some(Count::Number(f64::from(pieces)));
        let mut growth = Growth::default();
        if let Some(piece) = quote.material.pieces.first_mut()
            && width != self.width
        {
            let height = self.height.scaled_up(width.nm(), self.width.nm());
            piece.width = Some(width.into());
            piece.height = Some(height.into());
            growth = self.growth_to(width);
        }
        let layout =
            material::report(&quote.material).map_err(|errors| errors.first().clone().at(path))?;
        let costs = Costs::read_grown(&quote, Some(&layout), growth)
            .map_err(|errors| errors.within("quote"))?;
        Ok((self.posted(costs, pieces), layout))
    }

    /// By how much work and cut grow to another width.
    fn growth_to(&self, width: Length) -> Growth {
        let ratio = Decimal::from(width.nm()) / Decimal::from(self.width.nm());
        Growth {
            work: Decimal::ONE + self.grows * (ratio - Decimal::ONE),
            cut: ratio,
        }
    }

    /// What the maker asks for a piece of the present size: the own price, or the one that reaches the
    /// target.
    fn full_price(&self) -> Result<Decimal, InputErrors> {
        let asked = self.base.price_for(self.base.target);
        let own = self.base.own_price.map(Ok);
        Ok(own
            .unwrap_or(asked)
            .map_err(|error| error.within("quote"))?)
    }

    /// The maker's own price for a size of the ladder, if it has one; of mistakes in it the ladder tells.
    fn own_price(&self, width: Length) -> Option<Decimal> {
        let of = |size: &&SizeInput| {
            let size = self.width_at(size.width.as_ref(), "");
            size.is_ok_and(|size| size == width)
        };
        let size = self.input.sizes.iter().find(of)?;
        self.base.own(size.price.as_deref(), "").ok().flatten()
    }

    /// The width of an offer, at its path.
    fn width_at(&self, width: Option<&LengthInput>, path: &str) -> Result<Length, InputErrors> {
        Ok(required(width, path, self.unit, SIDE)?)
    }

    /// The costs of an order of so many pieces at the present size.
    fn of_pieces(&self, pieces: u32) -> Result<Costs, InputErrors> {
        let mut quote = self.input.quote.clone();
        quote.pieces = Some(Count::Number(f64::from(pieces)));
        let costs = Costs::read_grown(&quote, Some(&self.layout), self.growth);
        let costs = costs.map_err(|errors| errors.within("quote"))?;
        let costs = self.posted(costs, pieces);
        Ok(match &self.day {
            Some(day) if !costs.posted => day.borne_by(costs),
            _ => costs,
        })
    }

    /// The same costs with the postage of so many pieces.
    fn posted(&self, mut costs: Costs, pieces: u32) -> Costs {
        let heavier = self
            .postages
            .iter()
            .rfind(|postage| postage.count <= pieces);
        if let Some(postage) = heavier.filter(|_| pieces != self.base.pieces && costs.posted) {
            costs.postage_paid = postage.price;
        }
        costs
    }
}
