# Lo que leen los clientes. Cada mensaje está entero: ninguno se compone de trozos.
# Importes, medidas y fechas llegan escritos como los escribe el idioma de quien lee.

language-name = Español
page-title = { $design }, de { $shop }
by = de { $shop }
size = Medida
size-text = { $width } × { $height }
width = Ancho
width-hint = De { $least } a { $most }. Una medida intermedia cuesta lo que la siguiente mayor.
unit = Unidad
unit-in = pulgadas (in)
unit-cm = centímetros (cm)
unit-mm = milímetros (mm)
film = Vinilo
pieces = Cuántas
pieces-hint = Hasta { $most } aquí; para más, pregunte.
words = Texto
words-hint = Tal como se ha de cortar; una línea nueva por cada línea de letras
words-open = Todavía no hay texto: lo que envíe dirá que lo indicará después.
channel = Cómo compra
language = Idioma

each = { $price } cada una
size-and-film = { $size }, { $film }
charged = Con el precio de { $width } de ancho, la medida siguiente.
reads-from = Se lee desde { $distance }
reads-not = Demasiado pequeño para leerse desde ninguna distancia
reads-note = Con buena luz y de frente. Su vista, el tiempo y la velocidad pueden pedir más.
larger-reads = { $size } cuesta { $more } más cada una y se lee desde { $distance }.
larger = { $size } cuesta { $more } más cada una.
larger-reads-same = { $size } cuesta lo mismo y se lee desde { $distance }.
larger-same = { $size } cuesta lo mismo.
take-larger = Elegir { $width }
cheaper = { $pieces } piezas cuestan menos: { $then } en total, en lugar de { $now }.
take-pieces = Elegir { $pieces }

items-row =
    { $pieces ->
        [one] Una pieza
       *[other] { $pieces } piezas a { $price }
    }
postage-row = Envío
postage-free = El envío va incluido
tax-added-row = Impuesto sobre la venta
tax-included-row = Impuesto incluido
total-row = En total
sum-caption = Lo que paga
breaks-caption = Precio de cada una, según cuántas
from-pieces = Desde { $from }
this-counts = vale este

ask-lead = Pregunte el precio
ask-notYet = Estos precios empiezan el { $from }. En este dispositivo es { $today }.
ask-expired = Estos precios terminaron el { $until }. En este dispositivo es { $today }.
ask-tooSmall = Menos de { $least } de ancho se hace por encargo.
ask-tooLarge = Más de { $most } de ancho se hace por encargo.
ask-tooMany = Más de { $most } piezas tienen precio aparte.
ask-words = En esta medida no caben tantas letras.
ask-noPrice = Este vinilo en esta medida se hace por encargo.

no-ways = Todavía no se puede enviar ni enlazar nada: corrija antes lo que está marcado arriba.
ask-mail = Escribir un correo
ask-copy = Copiar como texto
ask-share = Compartir
ask-save = Guardar en un archivo
ask-link = Ver enlace y código
ask-nothing-sent = Nada se envía solo: antes verá lo que está escrito.
copied = Copiado.
copy-by-hand = El navegador no deja copiar a esta página. Marque el texto y cópielo usted.
request-subject = { $design }: { $size }
request-priced =
    Buenos días:
    quisiera encargar: { $design }
    Texto: { $words }
    { $said ->
        [own] Medida: { $width } de ancho ({ $size })
       *[as] Medida: { $size }
    }
    Vinilo: { $film }
    { $pieces ->
        [one] Una pieza: { $items }
       *[other] { $pieces } piezas a { $price }: { $items }
    }
    { $posted ->
        [charged] Envío: { $postage }
        [free] El envío va incluido
       *[none] Sin envío
    }
    { $taxed ->
        [added] Impuesto sobre la venta: { $tax }
        [included] Impuesto, ya incluido en el precio: { $tax }
       *[none] Sin impuesto sobre la venta
    }
    En total: { $total }
    Compra por: { $channel }
    (consultado el { $today } con la lista de precios { $edition } del { $from })
request-unpriced =
    Buenos días:
    ¿cuánto costaría esto? { $design }
    Texto: { $words }
    { $said ->
        [own] Medida: { $width } de ancho ({ $size })
       *[as] Medida: { $size }
    }
    Vinilo: { $film }
    Piezas: { $pieces }
    Compra por: { $channel }
    (consultado el { $today } con la lista de precios { $edition } del { $from })
request-no-words = el del diseño
request-words-open = se lo indicaré después
link-title = Este presupuesto como enlace
copy-link = Copiar enlace
link-note = El enlace contiene lo que ha elegido y el idioma de esta página, y nada más.
link-too-long = Con este texto el enlace sería demasiado largo. Acórtelo o envíelo aparte.
code-label = Código que lleva a este presupuesto
picture-label = El adhesivo a escala, { $size }
picture-label-words = El adhesivo a escala, { $size }: { $words }

take-title = Llevarse los precios y el dibujo
take-text = Copiar los precios como texto
take-csv = Guardar los precios como CSV
take-svg = Guardar el dibujo como SVG
take-png = Guardar el dibujo como PNG
take-failed = El navegador no ha podido hacer este archivo.
take-boxed = Si no llega ningún archivo, la página que rodea a esta no lo permite.
take-shop = Tienda
take-design = Diseño
take-width = Ancho ({ $unit })
take-height = Alto ({ $unit })
take-charged = Con el precio del ancho ({ $unit })
take-from = Desde cuántas
take-price = Precio de cada una ({ $currency })
take-tax = El impuesto sobre la venta
take-tax-kind =
    { $taxed ->
        [added] se suma
        [included] va incluido
       *[none] no se cobra
    }
take-edition = Lista de precios
take-since = Precios del
take-until = Válidos hasta

link-same = Este es el presupuesto que le enviaron.
link-changed = Este presupuesto se hizo por { $then }. Con los precios de hoy son { $now }.
link-unpriced = Este presupuesto se hizo por { $then }. Pregunte si todavía vale.
link-damaged = El enlace a esta página está dañado y no se ha usado nada de él. Elija abajo o pida otra vez el enlace.
link-newer = El enlace es de otra versión de esta página. Vuelva a cargarla o elija abajo.
link-long = El enlace es más largo que ninguno de los hechos aquí y no se ha usado nada de él. Elija abajo.
link-unknown = El enlace pide algo que ya no se ofrece. Elija abajo.

valid = Precios del { $from }, lista de precios { $edition }
valid-until = Precios del { $from }, válidos hasta el { $until }, lista de precios { $edition }
caution = Deje libre la vista de quien conduce, y mire las normas locales antes de pegar nada en una ventana.

mistake-missing = Aquí falta algo.
mistake-not-a-number = Esto no es un número que sirva aquí.
mistake-ambiguous = Esto se puede leer de dos maneras: escríbalo sin la coma o sin el punto.
mistake-unknown-unit = Aquí no se conoce esta unidad. Escriba in, ft, cm, mm o m.
mistake-too-small = Esto es demasiado pequeño.
mistake-too-large = Esto es demasiado grande.
mistake-not-whole = Escriba un número entero.
mistake-does-not-fit = No caben tantas letras.
mistake-other = Esto no sirve aquí.

no-card = Aquí todavía no hay lista de precios.
no-card-hint = Quien hace los adhesivos tiene que ponerla junto a esta página.
card-unreachable = No se ha podido cargar la lista de precios. Mire la conexión y pruebe otra vez.
card-bad = Esta lista de precios no se puede leer, así que no se muestra ningún precio.
card-newer = Esta lista de precios es de una versión más nueva de la página. Vuelva a cargarla.
card-problem = Dónde: { $field }.
try-again = Probar otra vez
stopped = La página se ha parado por un fallo suyo. Vuelva a cargarla para seguir.
no-wasm = Esta página calcula con WebAssembly, que este navegador no tiene o tiene apagado. Un navegador actual puede mostrarla.
