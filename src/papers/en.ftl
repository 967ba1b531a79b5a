# What stands on the page of papers and on the papers themselves. Each message stands whole: none is put together from
# pieces. Amounts, lengths and dates come in written as the paper's language writes them.

language-name = English

## The form, in the language of the screen

page-title = Papers
language = Language of this page
to-the-page = To the maker's page
no-data = There is nothing here to print yet. On the maker's page, go to Papers and press the button there: this page then opens with your order.
bad-data = What is kept here for printing is of another version or damaged. Open the papers again from the maker's page.
blocked = { $design }: by its licence this may not be sold.
not-kept = This browser does not let the page keep what you type here: it will be gone when the page is closed. Print what matters.
sheet-legend = Print
paper-letter = Letter, 8 1/2 × 11 in
paper-a4 = A4, 210 × 297 mm
take-quote = Quote for the customer
take-ticket = Bench ticket
take-card = Care card
paper-language = Language of the papers
print = Print
print-hint = In the printer's own window choose the same paper and 100 %, not “fit to page”. Each sheet has a ruler at its foot: measure it.
order-legend = The order
other-quote = No. { $number } was begun for other words or another size. Begin a new quote, or go on with this number.
go-on = Go on with this number
number = Number
number-hint = Number, dates and lines stay on this device until a new quote is begun; the film stays for the next one.
begin = Begin a new quote
quote-legend = The quote
date = Date
until = Valid until
until-hint = May be left empty
customer = Customer
customer-hint = May be left empty: name, and address if it is to stand there. It is not kept unless you say so.
keep-customer = Keep the customer on this device with this quote
clear-customer = Clear the customer
contact = How to reach you
contact-hint = May be left empty: mail, phone, address. It stands below your shop's name, and is kept on this device.
lines = Lines of your own
lines-hint = What else is on this quote, such as putting it on. A price may be negative, for what you let off.
add-line = Add a line
line-text = What
line-pieces = Pieces
line-price = Price each
line-remove = Take the line away
tax = Sales tax of the whole quote
tax-hint = An amount; left empty, the tax that the maker's page reckoned for the decal
tax-of-all = The tax on this quote was reckoned without your own lines. Write that of the whole quote here.
terms-too-long = The quote has only the first { $most } characters of this.
quote-too-long = Something on the quote is higher than a sheet, and its end is cut off. Write fewer lines in one place.
terms = Terms
restore = Bring back the words of this page
film-name = Film
film-hint = As you call it, with its colour. It stands on quote and ticket; left empty, both have a line to write it on.
card-legend = The care card
surface = For
surface-outside = the outside of glass
surface-inside = the inside of glass
surface-paint = paint
surface-hull = a boat's hull
surface-mug = a bottle or a mug
cards-a-sheet = Cards on a sheet
card-hint = Words of our own. What the makers of film and tape say of theirs comes first: put it in their place. What you write is kept on this device, for this language and surface.
part-clean = Clean
part-apply = Put it on
apply-hint = 10 to 30 °C: common practice, no source
part-cure = Let it cure
cure-hint = 48 to 72 hours: common practice, no source
part-remove = Take it off
part-caution = Take care
card-too-long = That is too much for a card of this size, and its end would be cut off. Shorten it, or print fewer cards on a sheet.
copy-legend = Take it elsewhere
copy-text = Copy as text
copy-csv = Save as CSV
picture-svg = Save as SVG
picture-png = Save as PNG
copied = Copied.
copy-by-hand = The browser does not let this page copy. Mark the text and copy it yourself.
no-picture = The browser could not draw the picture.
mistake-number = Write a number or a word by which you find the quote again.
mistake-date = Write the day of the quote.
mistake-until = This day is before that of the quote, so it is not on it.
mistake-line-text = This line is not on the quote yet: write what it is for.
mistake-line-pieces = This line is not on the quote yet: write a whole number of pieces.
mistake-line-price = This line is not on the quote yet: write a price as 12 or 12.50.
mistake-tax = Write an amount as 3 or 2.46.
mistake-total = Together this is less than nothing.

## The quote, in the language of the paper

quote-title = Quote
quote-number = No. { $number }
quote-date = { $date }
quote-until = Valid until { $date }
quote-for = For { $customer }
quote-caption = What is quoted
column-what = What
column-pieces = Pieces
column-each = Each
column-amount = Amount
quote-size = { $size }, cut from one film
quote-film = Film: { $film }
quote-film-open = Film: ______________________
row-postage = Postage
row-postage-free = Postage is in the price
row-tax-added = Sales tax
row-tax-included = Sales tax in it
row-total = Together
terms-title = Terms
terms-text =
    It is cut to order from the words above: please check spelling and size before you say yes.
    The price holds for this size, this film and this number of pieces.
    Colours look different on a screen and in the film.
    Once it is stuck on, it cannot be moved.
    Where it may be stuck, above all on windows that a driver looks through and where numbers are prescribed, local rules decide.
size-text = { $width } × { $height }
words-none = as in the drawing

## The bench ticket

ticket-title = Bench ticket
facts-caption = The order
column-fact = Fact
column-value = Value
fact-number = Quote
fact-words = Words
fact-design = Design
fact-size = Size
fact-film = Film
fact-stock = Stock
stock-roll = a roll { $width } wide
stock-sheet = a sheet { $width } × { $length }
fact-edges = Margin and gap
edges = { $margin } on all sides, { $gap } between pieces
fact-side = Cut
side-straight = as it is read
side-mirrored = mirrored, for the inside of glass
fact-drawing = Drawing
drawing-joined = outlines are joined
fact-pieces = Pieces in the order
fact-cut = Film it takes
cut-all =
    { $sheets ->
        [one] 1 sheet in all:
       *[other] { $sheets } sheets in all:
    }
cut-roll =
    { $count ->
        [one] 1 piece, roll cut at { $length }
       *[other] { $count } pieces, roll cut at { $length }
    }
cut-sheets =
    { $copies ->
        [one] 1 sheet with { $count }, cut at { $length }
       *[other] { $copies } sheets with { $count } each, cut at { $length }
    }
fact-tape = Transfer tape
tape =
    { $pieces ->
        [one] 1 piece of { $size } and a little over
       *[other] { $pieces } pieces of { $size } and a little over
    }
fact-channel = Sold through
fact-post = For the post
post-us-letter = letter (US)
post-us-letter-nonmachinable = letter, non-machinable (US)
post-us-flat = flat (US)
post-us-parcel = parcel (US)
post-us-parcel-oversize = oversize parcel (US)
post-uk-letter = letter (UK)
post-uk-large-letter = large letter (UK)
post-uk-parcel = parcel (UK)
post-upu-p = small letter P (universal)
post-upu-g = large letter G (universal)
post-upu-e = bulky letter E (universal)
post-table = over a table, not posted
post-open = to be looked up
fact-licence = Licence
licence-own = own lettering; look at that of the typeface
licence-yes = { $design }: may be sold, as noted
licence-careful = { $design }: look at its licence first
licence-no = { $design }: must not be sold
supplies-caption = Goes along
column-supply = Supply
column-count = How many
picture-title = The layout
picture-last = The layout of the last sheet
picture-scale = Scale 1 : { $scale }
picture-label = The layout of the pieces on the film, to scale
picture-each = each { $size }
picture-cut = cut { $length }
picture-left = left over { $size }
times-caption = Times
column-step = Step
column-about = About
column-taken = Taken
step-setup = Set up
step-cut = Cut
step-weed = Weed
step-tape = Tape
step-pack = Pack
minutes = { $minutes } min
cautions-title = Take care
bench-blades = Blades: cut away from the hand and from the body, change a dull blade, and cover it when it is not in use.
bench-heat = Heat: keep a heat gun moving, try it on a scrap first, and never use it where alcohol or another solvent is still wet.
bench-solvents = Solvents: air the room, wear gloves, keep flames and sparks away, and try them on a hidden spot of plastic or paint first.

## The care card

card-title = Looking after your decal
card-from = From { $shop }
card-clean =
    { $surface ->
        [inside] Clean the inside of the glass with a little alcohol and a cloth that leaves no lint. Let it dry. Use nothing that contains wax, oil or silicone.
        [paint] Wash the paint, rinse it and dry it. Take off wax and polish with a little alcohol, on a hidden spot first. New paint gives off solvents: ask its maker how long to wait.
        [hull] Wash off salt, slime and chalk with fresh water and mild soap, and dry it. Take off wax with a little alcohol, on a hidden spot first. It is for above the waterline.
        [mug] Wash it by hand with dish soap, rinse it and dry it. Wipe the spot with a little alcohol, on plastic a hidden spot first, and do not touch it afterwards. Keep away from the rim and from what touches food or lips.
       *[outside] Wash the glass with water and mild soap, rinse it and dry it. Wipe it with a little alcohol and a cloth that leaves no lint, and let it dry.
    }
card-apply =
    { $surface ->
        [inside] It is cut to be read from the other side. Work between about 10 and 30 °C, out of the sun. Rub it down firmly through the carrier tape, peel the backing off, lay it against the glass from one edge, and rub again. Then peel the tape back slowly and flat.
        [paint] Work between about 10 and 30 °C, out of the sun. Rub it down firmly through the carrier tape, peel the backing off, and lay it down from one edge to the other. Rub again, and peel the tape back slowly and flat. Not on rust, blisters or flaking paint.
        [hull] Work on a dry, calm day between about 10 and 30 °C, out of the sun. Mark the line with masking tape. Rub it down firmly through the carrier tape, peel the backing off, and lay it down from one edge to the other. Rub again, and peel the tape back slowly and flat.
        [mug] Rub it down firmly through the carrier tape and peel the backing off. On a curve, lay the middle down first and smooth it to both sides. Rub again, and peel the tape back slowly and flat.
       *[outside] Work between about 10 and 30 °C, out of the sun. Rub it down firmly through the carrier tape, peel the backing off, and lay it down from one edge to the other. Rub again, and peel the tape back slowly and flat.
    }
card-cure =
    { $surface ->
        [hull] Leave it dry for 48 to 72 hours before it meets spray or a wash. After that wash it by hand; keep a pressure washer away from its edges.
        [mug] Leave it dry for 48 to 72 hours. After that wash it by hand, without soaking. Not for dishwasher, microwave or oven.
       *[other] Leave it dry for 48 to 72 hours before you wash it. After that wash it by hand; keep scrapers, brushes and pressure washers away from its edges.
    }
card-remove =
    { $surface ->
        [inside] Warm it with a hair dryer, lift a corner with a fingernail or plastic card, and pull it back slowly and flat. Take off what sticks with a little alcohol. Heated or coated glass scratches easily: no blade.
        [paint] Warm it with a hair dryer, lift a corner with a fingernail or plastic card, and pull it back slowly and flat. Old or repainted paint may come off with it. Try anything that dissolves the rest on a hidden spot first.
        [hull] Warm it with a hair dryer on dry land, lift a corner with a fingernail or plastic card, and pull it back slowly and flat. Try anything that dissolves the rest on a hidden spot first, and keep it out of the water.
        [mug] Warm it with a hair dryer or in warm water, lift a corner with a fingernail, and pull it back slowly. Wash off what sticks with dish soap or a little alcohol, and rinse well.
       *[outside] Warm it with a hair dryer, lift a corner with a fingernail or plastic card, and pull it back slowly and flat. Take off what sticks with a little alcohol.
    }
card-caution =
    { $surface ->
        [paint] Alcohol burns: no flame or sparks, fresh air, and dry before any heat. Heat and blades hurt you and the paint. On a vehicle keep glass, lamps and number plates free; local rules come before this card.
        [hull] Alcohol burns: no flame or sparks, fresh air, and dry before any heat. Heat and blades hurt you and the hull. How a boat's number must look and where it stands, local rules say; they come before this card.
        [mug] Alcohol burns: no flame or sparks, fresh air, and dry before any heat. Keep blades away from hand and glass, and small pieces away from children. The film is not made to touch food.
       *[other] Alcohol burns: no flame or sparks, fresh air, and dry before any heat. Heat may crack cold glass; blades cut and scratch. Never where a driver looks through, such as the windscreen, unless local rules allow it; they come before this card.
    }

## The foot of every sheet

measure-me = Measure me: print at 100 %
ruler-label = A ruler of 100 mm above and 4 in below
sheet-of = { $title }, no. { $number }: { $page } of { $pages }
