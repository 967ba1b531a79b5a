# What customers read. Each message stands whole: none is put together from pieces.
# Amounts, lengths and dates come in written as the reader's language writes them.

language-name = English
page-title = { $design }, from { $shop }
by = from { $shop }
size = Size
size-text = { $width } × { $height }
width = Width
width-hint = From { $least } to { $most }. A size in between is priced as the next one up.
unit = Unit
unit-in = inches (in)
unit-cm = centimetres (cm)
unit-mm = millimetres (mm)
film = Film
pieces = How many
pieces-hint = Up to { $most } here; ask for more.
words = Words
words-hint = As they are to be cut; a new line for each line of letters
words-open = No words yet: what you send says that you will tell them.
channel = How you buy
language = Language

each = { $price } each
size-and-film = { $size }, { $film }
charged = Priced as { $width } wide, the next size up.
reads-from = Reads from { $distance }
reads-not = Too small to be read from any distance
reads-note = In good light and from straight before it. Your own eyes, weather and speed may need more.
larger-reads = { $size } costs { $more } more each and reads from { $distance }.
larger = { $size } costs { $more } more each.
larger-reads-same = { $size } costs the same and reads from { $distance }.
larger-same = { $size } costs the same.
take-larger = Take { $width }
cheaper = { $pieces } pieces cost less: { $then } in all, in place of { $now }.
take-pieces = Take { $pieces }

items-row =
    { $pieces ->
        [one] One piece
       *[other] { $pieces } pieces at { $price }
    }
postage-row = Postage
postage-free = Postage is in the price
tax-added-row = Sales tax
tax-included-row = Sales tax in it
total-row = Together
sum-caption = What you pay
breaks-caption = Price of each, by how many
from-pieces = From { $from }
this-counts = this one counts

ask-lead = Please ask for a price
ask-notYet = These prices begin on { $from }. On this device it is { $today }.
ask-expired = These prices ended on { $until }. On this device it is { $today }.
ask-tooSmall = Smaller than { $least } wide is made to order.
ask-tooLarge = Larger than { $most } wide is made to order.
ask-tooMany = More than { $most } pieces have a price of their own.
ask-words = So many letters do not fit in this size.
ask-noPrice = This film in this size is made to order.

no-ways = Nothing can be sent or linked yet: first put right what is marked above.
ask-mail = Write a mail
ask-copy = Copy as text
ask-share = Share
ask-save = Save as a file
ask-link = Show link and code
ask-nothing-sent = Nothing is sent by itself: you see what is written first.
copied = Copied.
copy-by-hand = The browser does not let this page copy. Mark the text and copy it yourself.
request-subject = { $design }: { $size }
request-priced =
    Hello,
    please make for me: { $design }
    Words: { $words }
    { $said ->
        [own] Size: { $width } wide ({ $size })
       *[as] Size: { $size }
    }
    Film: { $film }
    { $pieces ->
        [one] One piece: { $items }
       *[other] { $pieces } pieces at { $price }: { $items }
    }
    { $posted ->
        [charged] Postage: { $postage }
        [free] Postage is in the price
       *[none] Without postage
    }
    { $taxed ->
        [added] Sales tax: { $tax }
        [included] Sales tax, in the price already: { $tax }
       *[none] No sales tax
    }
    Together: { $total }
    Bought through: { $channel }
    (asked on { $today } by price list { $edition } of { $from })
request-unpriced =
    Hello,
    what would this cost? { $design }
    Words: { $words }
    { $said ->
        [own] Size: { $width } wide ({ $size })
       *[as] Size: { $size }
    }
    Film: { $film }
    Pieces: { $pieces }
    Bought through: { $channel }
    (asked on { $today } by price list { $edition } of { $from })
request-no-words = those of the design
request-words-open = I will tell you
link-title = This quote as a link
copy-link = Copy link
link-note = The link holds what you chose and the language of this page, and no more.
link-too-long = These words make a link too long. Write fewer, or send them beside the link.
code-label = Code that leads to this quote
picture-label = The decal to scale, { $size }
picture-label-words = The decal to scale, { $size }: { $words }

take-title = Take prices and picture with you
take-text = Copy prices as text
take-csv = Save prices as CSV
take-svg = Save picture as SVG
take-png = Save picture as PNG
take-failed = The browser could not make this file.
take-boxed = If no file comes, the page around this one does not allow it.
take-shop = Shop
take-design = Design
take-width = Width ({ $unit })
take-height = Height ({ $unit })
take-charged = Priced as wide ({ $unit })
take-from = From how many
take-price = Price of each ({ $currency })
take-tax = Sales tax is
take-tax-kind =
    { $taxed ->
        [added] added to it
        [included] in it
       *[none] not charged
    }
take-edition = Price list
take-since = Prices of
take-until = Good until

link-same = This is the quote that was sent to you.
link-changed = This quote was made at { $then }. By the price list of today it is { $now }.
link-unpriced = This quote was made at { $then }. Please ask whether it still counts.
link-damaged = The link to this page is damaged, so nothing of it was used. Choose below, or ask for the link again.
link-newer = The link is of another version of this page. Reload the page, or choose below.
link-long = The link is longer than any made here, so nothing of it was used. Choose below.
link-unknown = The link asks for something that is no longer offered. Choose below.

valid = Prices of { $from }, price list { $edition }
valid-until = Prices of { $from }, good until { $until }, price list { $edition }
caution = Keep the driver's view free, and mind local rules before you stick anything on a window.

mistake-missing = Something is needed here.
mistake-not-a-number = This is not a number that can be used here.
mistake-ambiguous = This can be read in two ways: write it without the comma or dot.
mistake-unknown-unit = This unit is not known here. Write in, ft, cm, mm or m.
mistake-too-small = This is too small.
mistake-too-large = This is too large.
mistake-not-whole = Write a whole number.
mistake-does-not-fit = So many letters do not fit.
mistake-other = This cannot be used here.

no-card = There is no price list here yet.
no-card-hint = The maker has to put one beside this page.
card-unreachable = The price list could not be loaded. Check the connection and try again.
card-bad = This price list cannot be read, so no price is shown.
card-newer = This price list is of a newer version of the page. Reload the page.
card-problem = Where: { $field }.
try-again = Try again
stopped = The page stopped by a fault of its own. Reload it to go on.
no-wasm = This page reckons with WebAssembly, which this browser does not have or has turned off. A current browser can show it.
