//! Fills a space so that its pieces come apart by straight cuts, each right across what is in hand.
//!
//! A piece lies in the corner of a part; what it leaves is cut into a part beside it and one above
//! it, and each is filled for itself before anything else. (In packing, such layouts are called
//! guillotine.)

use super::{Choice, Manner, Skyline};

/// A part of a space that has been cut free.
#[derive(Clone, Copy, Debug)]
pub(super) struct Part {
    x: i64,
    y: i64,
    width: i64,
    height: i64,
}

impl Part {
    fn area(self) -> i128 {
        i128::from(self.width) * i128::from(self.height)
    }

    /// What a piece in the corner leaves: the part to be filled last, and the one to be filled first.
    /// As much as possible stays in one part, or as little, where `other` asks for it.
    fn without(self, width: i64, height: i64, other: bool) -> [Self; 2] {
        let beside = Self {
            x: self.x + width,
            width: self.width - width,
            ..self
        };
        let above = Self {
            y: self.y + height,
            height: self.height - height,
            ..self
        };
        if (beside.area() > above.area()) == other {
            [above, Self { height, ..beside }]
        } else {
            [beside, Self { width, ..above }]
        }
    }
}

impl Skyline {
    /// Fills a space of a width and height with the next pieces.
    pub(super) fn cut(
        &mut self,
        space: usize,
        (width, height): (i64, i64),
        manner: Manner,
        waste: i128,
        given_up: &mut i128,
    ) -> Option<()> {
        self.parts.clear();
        self.parts.push(Part {
            x: 0,
            y: 0,
            width,
            height,
        });
        while !self.items.is_empty()
            && let Some(part) = self.parts.pop()
        {
            let choice = self.choose_for(part, manner.plain);
            let item = choice.and_then(|choice| self.take(choice));
            let Some(item) = item else {
                *given_up += part.area();
                if *given_up > waste {
                    return None;
                }
                continue;
            };
            self.set_down(space, (part.x, part.y), item, manner);
            let left = part.without(item.width, item.height, item.split);
            let left = left.into_iter().filter(|left| left.area() > 0);
            self.parts.extend(left);
        }
        Some(())
    }

    /// A piece for a part.
    fn choose_for(&mut self, part: Part, plain: bool) -> Option<Choice> {
        if part.width < self.narrowest {
            self.spent += 1;
            return None;
        }
        self.first_best(|width, height| {
            let level = (width == part.width, height == part.height);
            if width > part.width || height > part.height {
                0
            } else if plain || level == (true, true) {
                5
            } else if level == (false, false) {
                1
            } else {
                3
            }
        })
    }
}
