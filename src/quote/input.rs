//! What an order is reckoned from.

use crate::input::read_by_members;
use crate::material::MaterialInput;
use crate::measure::{Count, LengthInput, NumberInput};
use crate::money::{Ending, TaxKind};
use serde::Deserialize;

read_by_members! {
    /// What one order is reckoned from. Amounts are decimal texts in `currency`; an amount or a time that
    /// is left out counts as nothing.
    #[derive(Clone, Debug, Default, PartialEq)]
    pub struct QuoteInput {
        /// ISO 4217 code.
        pub currency: String,
        /// The piece, the stock it is cut from, and how many are cut at once.
        pub material: MaterialInput,
        /// Pieces in the order; one where left out.
        pub pieces: Option<Count> = default,
        /// Lines of the order, for fees that are charged by the line; one where left out.
        pub order_lines: Option<Count> = default,
        /// The film as it is bought.
        pub film: FilmInput = default,
        /// The transfer tape as it is bought.
        pub tape: TapeInput = default,
        /// Mailers, cards and what else goes along.
        pub supplies: Vec<SupplyInput> = default,
        /// Wage for an hour of work.
        pub wage: Option<String> = default,
        /// Time to set up the cutter and load the film, for everything that is cut at once; in minutes
        /// where no unit stands.
        pub setup_time: Option<NumberInput> = default,
        /// Time to cut, weed and tape one piece; in minutes where no unit stands.
        pub piece_time: Option<NumberInput> = default,
        /// Time to pack an order and take it to the post, none over a table; in minutes where no unit
        /// stands.
        pub order_time: Option<NumberInput> = default,
        /// Hundredths to which the time for a piece falls each time the number made in a row doubles, by
        /// Crawford's curve of unit times; `piece_time` is that of the first one then.
        pub learning: Option<NumberInput> = default,
        /// Pieces in a hundred that are made and cannot be sold.
        pub spoilage: Option<NumberInput> = default,
        /// The cutter as it was bought, whose price is spread over the hours that it cuts.
        pub machine: MachineInput = default,
        /// The cutter's blades as they are bought, whose price is spread over what each cuts.
        pub blade: BladeInput = default,
        /// Rent, power and whatever else is paid by the month, whether anything is sold or not.
        pub monthly: Option<String> = default,
        /// Orders in a month, which bear what is paid by the month.
        pub orders: Option<Count> = default,
        /// What else each order bears.
        pub overhead: Option<String> = default,
        /// What the licence of the design costs for each piece.
        pub licence: Option<String> = default,
        /// The way of selling.
        pub channel: ChannelInput = default,
        /// What posting the order costs and what the customer is charged for it.
        pub postage: PostageInput = default,
        /// What the price shall reach; the bare costs where left out.
        pub target: TargetInput = default,
        /// What the price ends in.
        pub ending: Ending = default,
        /// A price of the maker's own for a piece, to see what it leaves; rounded to the minor unit.
        pub own_price: Option<String> = default,
    }
}

read_by_members! {
    /// The film as it is bought.
    #[derive(Clone, Debug, Default, PartialEq)]
    pub struct FilmInput {
        /// Price of one sheet, or of the whole roll.
        pub price: Option<String> = default,
        /// Length of the whole roll; a bare text counts in feet or metres. Not asked for sheets.
        pub length: Option<LengthInput> = default,
        /// How a piece's share of it is reckoned.
        pub by: Share = default,
    }
}

/// How much film a piece has to pay for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub enum Share {
    /// Its part of all the film that the layout uses up: what lies between and beside the pieces is
    /// shared out among them.
    #[default]
    Layout,
    /// Its own area, for one who uses up what is left between and beside the pieces.
    Area,
}

read_by_members! {
    /// The transfer tape as it is bought.
    #[derive(Clone, Debug, Default, PartialEq)]
    pub struct TapeInput {
        /// Price of the whole roll.
        pub price: Option<String> = default,
        /// Width of the roll, which with its length says what a square metre costs.
        pub width: Option<LengthInput> = default,
        /// Length of the roll; a bare text counts in feet or metres.
        pub length: Option<LengthInput> = default,
    }
}

read_by_members! {
    /// Something that goes along: a mailer, a board, a card.
    #[derive(Clone, Debug, Default, PartialEq)]
    pub struct SupplyInput {
        /// What it is called.
        pub name: Option<String> = default,
        /// Price of one; nothing where neither it nor `packs` is told.
        pub each: Option<String> = default,
        /// The packs it is sold in, as `25 for 12.00; 350 for 60.00`: one costs what it does in the first.
        pub packs: Option<String> = default,
        /// How many are used; one where left out.
        pub count: Option<Count> = default,
        /// For what they are used.
        pub per: SupplyUse = default,
    }
}

/// For what a supply is used.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub enum SupplyUse {
    /// For each order, however it is sold.
    #[default]
    Order,
    /// For each order that is posted; nothing for one that is sold over a table.
    Posted,
    /// For each piece.
    Piece,
}

read_by_members! {
    /// The cutter: what it wears off by the hour that it runs.
    #[derive(Clone, Debug, Default, PartialEq)]
    pub struct MachineInput {
        /// What it cost.
        pub price: Option<String> = default,
        /// Hours that it is expected to run.
        pub hours: Option<NumberInput> = default,
        /// Time that it runs for one piece; in minutes where no unit stands.
        pub piece_time: Option<NumberInput> = default,
    }
}

read_by_members! {
    /// The blades: what they wear off by the length that they cut.
    #[derive(Clone, Debug, Default, PartialEq)]
    pub struct BladeInput {
        /// What one costs.
        pub price: Option<String> = default,
        /// Length that it cuts before it is dull; a bare text counts in feet or metres.
        pub length: Option<LengthInput> = default,
        /// Length that is cut for one piece; a bare text counts in feet or metres.
        pub piece_length: Option<LengthInput> = default,
    }
}

read_by_members! {
    /// A way of selling: what is charged for it.
    #[derive(Clone, Debug, Default, PartialEq)]
    pub struct ChannelInput {
        /// What it is called.
        pub name: Option<String> = default,
        /// How it is sold, which says whether it is posted.
        pub kind: ChannelKind = default,
        /// What is charged for selling, advertising and taking the payment.
        pub fees: Vec<FeeInput> = default,
        /// The tax on sales.
        pub tax: TaxInput = default,
        /// Orders in a hundred that are paid back: all that the customer paid, while the costs stay.
        pub refunds: Option<NumberInput> = default,
        /// Whether it stands on the rate card; it does if left out.
        pub offered: Option<bool> = default,
    }
}

/// Kinds of channels.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub enum ChannelKind {
    /// Sold from afar and posted.
    #[default]
    Post,
    /// Sold over a table: neither mailer nor postage.
    Fair,
    /// Made to order for one customer, and posted.
    Order,
    /// To a shop that sells it on, and posted.
    Wholesale,
}

read_by_members! {
    /// A fee. What is charged on item, postage and tax together is held between `least` and `most`; the
    /// fixed sums come on top; all of it is rounded to the minor unit as one charge.
    #[derive(Clone, Debug, Default, PartialEq)]
    pub struct FeeInput {
        /// What it is called.
        pub name: Option<String> = default,
        /// Hundredths of what the items cost the customer.
        pub item: Option<NumberInput> = default,
        /// Hundredths of what the customer is charged for postage.
        pub postage: Option<NumberInput> = default,
        /// Hundredths of the tax that the customer pays on top of the price.
        pub tax: Option<NumberInput> = default,
        /// Other hundredths of the items from some amount on.
        pub tiers: Vec<TierInput> = default,
        /// Whether a tier counts for all of the items' amount once that is reached, rather than for the
        /// part of it above.
        pub whole: bool = default,
        /// The least that the hundredths come to.
        pub least: Option<String> = default,
        /// The most that the hundredths come to.
        pub most: Option<String> = default,
        /// Amount for each order.
        pub order: Option<String> = default,
        /// Amount for each line of an order.
        pub line: Option<String> = default,
        /// Amount for each piece.
        pub piece: Option<String> = default,
        /// Orders in a hundred on which it is charged; all where left out.
        pub chance: Option<NumberInput> = default,
        /// Whether it is given back when an order is paid back.
        pub returned: bool = default,
    }
}

read_by_members! {
    /// Other hundredths of the items from some amount on.
    #[derive(Clone, Debug, Default, PartialEq)]
    pub struct TierInput {
        /// What the items of an order cost the customer, from which on it counts.
        pub from: Option<String> = default,
        /// Hundredths from there on.
        pub item: Option<NumberInput> = default,
    }
}

read_by_members! {
    /// The tax on sales.
    #[derive(Clone, Debug, Default, PartialEq)]
    pub struct TaxInput {
        /// Whether there is one, and where it stands.
        pub kind: TaxKind = default,
        /// Hundredths of the amount before tax.
        pub percent: Option<NumberInput> = default,
        /// Whether postage is taxed as the items are.
        pub postage: bool = default,
    }
}

read_by_members! {
    /// Postage of one order.
    #[derive(Clone, Debug, Default, PartialEq)]
    pub struct PostageInput {
        /// What the maker pays.
        pub paid: Option<String> = default,
        /// What the customer is charged beside the price; nothing where postage is in the price.
        pub charged: Option<String> = default,
    }
}

read_by_members! {
    /// What the price shall reach.
    #[derive(Clone, Debug, Default, PartialEq)]
    pub struct TargetInput {
        /// Of which kind the value is.
        pub kind: TargetKind = default,
        /// Hundredths for a margin or a mark-up, an amount for the others.
        pub value: Option<NumberInput> = default,
    }
}

/// The kinds of target.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub enum TargetKind {
    /// Hundredths of the item price, without tax, that are left when everything is paid, the wage
    /// included.
    #[default]
    Margin,
    /// What is left in hundredths of all that the item price pays for.
    Markup,
    /// What an hour of the work on the order brings, the wage included.
    HourlyPay,
    /// What is left of each piece when everything is paid, the wage included.
    Profit,
}
