//! Where a card asks less in all for more pieces than for fewer.

use super::RateCard;
use super::check::Card;
use crate::error::InputErrors;
use rust_decimal::Decimal;
use say::say;

/// A number of pieces that costs more than one piece more does.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Bargain {
    /// So many pieces come to more.
    pub fewer: u32,
    /// One piece more comes to less.
    pub more: u32,
    /// What it is, and what helps, in a sentence or two.
    pub text: String,
}

/// The first offer of a card, in its order, that asks less in all for more pieces; none where no offer does.
///
/// The price of a piece counts for the least number of its row, so that it is too high for the greatest. No price is
/// changed for that: a lower one would miss the maker's aim for one piece, a higher one would be more than is needed
/// for many. A quantity between the two helps.
///
/// # Errors
/// Those of [`check`](super::check).
pub fn bargain(card: &RateCard) -> Result<Option<Bargain>, InputErrors> {
    let read = Card::read(card)?;
    let rows = read.quantities.iter().zip(read.quantities.iter().skip(1));
    for (channel, films) in card.channels.iter().zip(&read.prices) {
        for (film, sizes) in card.films.iter().zip(films) {
            for (size, prices) in read.sizes.iter().zip(sizes) {
                for ((start, more), pair) in rows.clone().zip(prices.windows(2)) {
                    let [Some(one), Some(other)] = pair else {
                        continue;
                    };
                    let fewer = more - 1;
                    let (all, less) = (*one * Decimal::from(fewer), *other * Decimal::from(*more));
                    if all <= less {
                        continue;
                    }
                    let between = u32::midpoint(*start, *more);
                    let mut text = say!(
                        "More pieces cost less in all: {more} of {width} less than {fewer} ({film}, {channel}).",
                        width = size.width.text(card.unit),
                        film = film.name,
                        channel = channel.name,
                    );
                    if between > *start {
                        text.push(' ');
                        text.push_str(&say!(
                            "A quantity between {start} and {more}, such as {between}, helps."
                        ));
                    }
                    return Ok(Some(Bargain {
                        fewer,
                        more: *more,
                        text,
                    }));
                }
            }
        }
    }
    Ok(None)
}
