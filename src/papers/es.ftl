# Lo que hay en la página de papeles y en los papeles mismos. Cada mensaje está entero: ninguno se compone de trozos.
# Importes, medidas y fechas llegan escritos como los escribe el idioma del papel.

language-name = Español

## El formulario, en el idioma de la pantalla

page-title = Papeles
language = Idioma de esta página
to-the-page = A la página de quien hace los adhesivos
no-data = Aquí todavía no hay nada que imprimir. En la página de quien hace los adhesivos, vaya a «Papeles» («Papers» en la página en inglés) y pulse allí el botón: esta página se abre entonces con su pedido.
bad-data = Lo guardado aquí para imprimir es de otra versión o está dañado. Abra otra vez los papeles desde la página de quien hace los adhesivos.
blocked = { $design }: por su licencia no se puede vender.
not-kept = Este navegador no deja que la página guarde lo que usted escribe aquí: se perderá al cerrarla. Imprima lo que importa.
sheet-legend = Imprimir
paper-letter = Carta, 8 1/2 × 11 in
paper-a4 = A4, 210 × 297 mm
take-quote = Presupuesto para el cliente
take-ticket = Hoja de taller
take-card = Tarjeta de cuidados
paper-language = Idioma de los papeles
print = Imprimir
print-hint = En la ventana de la impresora elija el mismo papel y 100 %, no «ajustar a la página». Cada hoja lleva una regla al pie: mídala.
order-legend = El pedido
other-quote = El n.º { $number } se empezó con otro texto u otra medida. Empiece un presupuesto nuevo o siga con este número.
go-on = Seguir con este número
number = Número
number-hint = Número, fechas y renglones se quedan en este dispositivo hasta que se empiece un presupuesto nuevo; el vinilo queda para el siguiente.
begin = Empezar un presupuesto nuevo
quote-legend = El presupuesto
date = Fecha
until = Válido hasta
until-hint = Puede quedar vacío
customer = Cliente
customer-hint = Puede quedar vacío: nombre, y dirección si ha de figurar. No se guarda si usted no lo pide.
keep-customer = Guardar el cliente en este dispositivo con este presupuesto
clear-customer = Borrar el cliente
contact = Cómo encontrarle
contact-hint = Puede quedar vacío: correo, teléfono, dirección. Figura debajo del nombre de su taller y se guarda en este dispositivo.
lines = Renglones propios
lines-hint = Qué más hay en este presupuesto, como la colocación. Un precio puede ser negativo, por lo que usted rebaje.
add-line = Añadir un renglón
line-text = Qué
line-pieces = Piezas
line-price = Precio de cada una
line-remove = Quitar el renglón
tax = Impuesto sobre todo el presupuesto
tax-hint = Un importe; vacío: el impuesto que su página de cálculo halló para el adhesivo
tax-of-all = El impuesto de este presupuesto se calculó sin sus renglones. Escriba aquí el de todo el presupuesto.
terms-too-long = El presupuesto solo lleva los primeros { $most } caracteres de esto.
quote-too-long = Algo del presupuesto es más alto que una hoja, y el final queda cortado. Escriba menos líneas en un mismo sitio.
terms = Condiciones
restore = Volver al texto de esta página
film-name = Vinilo
film-hint = Como usted lo llama, con su color. Figura en el presupuesto y en la hoja de taller; si queda vacío, ambos llevan una línea para escribirlo.
card-legend = La tarjeta de cuidados
surface = Para
surface-outside = el exterior de un cristal
surface-inside = el interior de un cristal
surface-paint = pintura
surface-hull = el casco de un barco
surface-mug = una botella o una taza
cards-a-sheet = Tarjetas por hoja
card-hint = Textos nuestros. Lo que digan los fabricantes de su vinilo y su cinta va primero: póngalo en su lugar. Lo que escriba se guarda en este dispositivo, para este idioma y esta superficie.
part-clean = Limpiar
part-apply = Colocar
apply-hint = De 10 a 30 °C: práctica común, sin fuente
part-cure = Dejar asentar
cure-hint = De 48 a 72 horas: práctica común, sin fuente
part-remove = Quitar
part-caution = Precauciones
card-too-long = Es demasiado para una tarjeta de este tamaño, y el final quedaría cortado. Acórtelo o imprima menos tarjetas por hoja.
copy-legend = Llevarlo a otra parte
copy-text = Copiar como texto
copy-csv = Guardar como CSV
picture-svg = Guardar como SVG
picture-png = Guardar como PNG
copied = Copiado.
copy-by-hand = El navegador no deja copiar a esta página. Marque el texto y cópielo usted.
no-picture = El navegador no ha podido dibujar la imagen.
mistake-number = Escriba un número o una palabra con que volver a encontrar el presupuesto.
mistake-date = Escriba el día del presupuesto.
mistake-until = Este día es anterior al del presupuesto, así que no figura en él.
mistake-line-text = Este renglón todavía no está en el presupuesto: escriba para qué es.
mistake-line-pieces = Este renglón todavía no está en el presupuesto: escriba un número entero de piezas.
mistake-line-price = Este renglón todavía no está en el presupuesto: escriba un precio como 12 o 12,50.
mistake-tax = Escriba un importe como 3 o 2,46.
mistake-total = En total esto es menos que nada.

## El presupuesto, en el idioma del papel

quote-title = Presupuesto
quote-number = N.º { $number }
quote-date = { $date }
quote-until = Válido hasta el { $date }
quote-for = Para { $customer }
quote-caption = Lo que se presupuesta
column-what = Qué
column-pieces = Piezas
column-each = Cada una
column-amount = Importe
quote-size = { $size }, cortado de un solo vinilo
quote-film = Vinilo: { $film }
quote-film-open = Vinilo: ______________________
row-postage = Envío
row-postage-free = El envío va incluido
row-tax-added = Impuesto sobre la venta
row-tax-included = Impuesto incluido
row-total = En total
terms-title = Condiciones
terms-text =
    Se corta por encargo con el texto de arriba: compruebe la ortografía y la medida antes de aceptar.
    El precio vale para esta medida, este vinilo y este número de piezas.
    Los colores se ven distintos en una pantalla y en el vinilo.
    Una vez pegado no se puede mover.
    Dónde se puede pegar, sobre todo en ventanas por las que mira quien conduce y donde hay números obligatorios, lo deciden las normas locales.
size-text = { $width } × { $height }
words-none = como en el dibujo

## La hoja de taller

ticket-title = Hoja de taller
facts-caption = El pedido
column-fact = Dato
column-value = Valor
fact-number = Presupuesto
fact-words = Texto
fact-design = Diseño
fact-size = Medida
fact-film = Vinilo
fact-stock = Material
stock-roll = un rollo de { $width } de ancho
stock-sheet = una hoja de { $width } × { $length }
fact-edges = Margen y separación
edges = { $margin } por todos los lados, { $gap } entre piezas
fact-side = Corte
side-straight = como se lee
side-mirrored = en espejo, para el interior de un cristal
fact-drawing = Dibujo
drawing-joined = los contornos están unidos
fact-pieces = Piezas del pedido
fact-cut = Vinilo que lleva
cut-all =
    { $sheets ->
        [one] 1 hoja en total:
       *[other] { $sheets } hojas en total:
    }
cut-roll =
    { $count ->
        [one] 1 pieza, rollo cortado a { $length }
       *[other] { $count } piezas, rollo cortado a { $length }
    }
cut-sheets =
    { $copies ->
        [one] 1 hoja con { $count }, cortada a { $length }
       *[other] { $copies } hojas con { $count } cada una, cortadas a { $length }
    }
fact-tape = Cinta de transferencia
tape =
    { $pieces ->
        [one] 1 pieza de { $size } y un poco más
       *[other] { $pieces } piezas de { $size } y un poco más
    }
fact-channel = Se vende por
fact-post = Para el correo
post-us-letter = carta (EE. UU.)
post-us-letter-nonmachinable = carta no mecanizable (EE. UU.)
post-us-flat = sobre grande (EE. UU.)
post-us-parcel = paquete (EE. UU.)
post-us-parcel-oversize = paquete muy grande (EE. UU.)
post-uk-letter = carta (Reino Unido)
post-uk-large-letter = carta grande (Reino Unido)
post-uk-parcel = paquete (Reino Unido)
post-upu-p = carta pequeña P (universal)
post-upu-g = carta grande G (universal)
post-upu-e = carta voluminosa E (universal)
post-table = en mano, sin correo
post-open = por consultar
fact-licence = Licencia
licence-own = letras propias; mire la licencia de la tipografía
licence-yes = { $design }: se puede vender, según lo anotado
licence-careful = { $design }: mire antes su licencia
licence-no = { $design }: no se debe vender
supplies-caption = Lo acompaña
column-supply = Artículo
column-count = Cuántos
picture-title = La distribución
picture-last = La distribución de la última hoja
picture-scale = Escala 1 : { $scale }
picture-label = La distribución de las piezas sobre el vinilo, a escala
picture-each = cada una { $size }
picture-cut = cortar a { $length }
picture-left = sobran { $size }
times-caption = Tiempos
column-step = Paso
column-about = Estimado
column-taken = Empleado
step-setup = Preparar
step-cut = Cortar
step-weed = Pelar
step-tape = Poner la cinta
step-pack = Empaquetar
minutes = { $minutes } min
cautions-title = Precauciones
bench-blades = Cuchillas: corte alejándose de la mano y del cuerpo, cambie la cuchilla gastada y cúbrala cuando no la use.
bench-heat = Calor: mueva siempre la pistola de calor, pruebe antes con un recorte y no la use nunca donde el alcohol u otro disolvente aún esté húmedo.
bench-solvents = Disolventes: ventile, use guantes, aléjelos de llamas y chispas y pruébelos antes en una parte oculta del plástico o de la pintura.

## La tarjeta de cuidados

card-title = Cómo cuidar su adhesivo
card-from = De { $shop }
card-clean =
    { $surface ->
        [inside] Limpie el interior del cristal con un poco de alcohol y un paño sin pelusa. Déjelo secar. No use nada con cera, aceite o silicona.
        [paint] Lave la pintura, enjuáguela y séquela. Quite la cera y el abrillantador con un poco de alcohol, antes en una parte oculta. La pintura nueva desprende disolventes: pregunte a su fabricante cuánto esperar.
        [hull] Quite la sal, el verdín y el polvillo con agua dulce y jabón suave, y seque. Quite la cera con un poco de alcohol, antes en una parte oculta. Es para encima de la línea de flotación.
        [mug] Lávela a mano con jabón de vajilla, enjuáguela y séquela. Pase un poco de alcohol por el sitio, en plástico antes por una parte oculta, y no lo toque después. Lejos del borde y de lo que toque comida o labios.
       *[outside] Lave el cristal con agua y jabón suave, enjuáguelo y séquelo. Pase un poco de alcohol con un paño sin pelusa y déjelo secar.
    }
card-apply =
    { $surface ->
        [inside] Está cortado para leerse desde el otro lado. Trabaje entre unos 10 y 30 °C, sin sol. Frote con fuerza sobre la cinta, retire el papel de atrás, apóyelo en el cristal desde un borde y frote otra vez. Después retire la cinta despacio y plana.
        [paint] Trabaje entre unos 10 y 30 °C, sin sol. Frote con fuerza sobre la cinta, retire el papel de atrás y apóyelo de un borde al otro. Frote otra vez y retire la cinta despacio y plana. No sobre óxido, ampollas o pintura suelta.
        [hull] Trabaje un día seco y en calma entre unos 10 y 30 °C, sin sol. Marque la línea con cinta de enmascarar. Frote con fuerza sobre la cinta, retire el papel de atrás y apóyelo de un borde al otro. Frote otra vez y retire la cinta despacio y plana.
        [mug] Frote con fuerza sobre la cinta y retire el papel de atrás. En una curva apoye primero el centro y alíselo hacia los dos lados. Frote otra vez y retire la cinta despacio y plana.
       *[outside] Trabaje entre unos 10 y 30 °C, sin sol. Frote con fuerza sobre la cinta, retire el papel de atrás y apóyelo de un borde al otro. Frote otra vez y retire la cinta despacio y plana.
    }
card-cure =
    { $surface ->
        [hull] Déjelo seco de 48 a 72 horas antes de que le llegue agua o un lavado. Después lávelo a mano; la hidrolimpiadora, lejos de los bordes.
        [mug] Déjelo seco de 48 a 72 horas. Después lávela a mano, sin remojo. No apta para lavavajillas, microondas ni horno.
       *[other] Déjelo seco de 48 a 72 horas antes de lavarlo. Después lávelo a mano; rascadores, cepillos e hidrolimpiadora, lejos de los bordes.
    }
card-remove =
    { $surface ->
        [inside] Caliéntelo con un secador de pelo, levante una esquina con la uña o una tarjeta de plástico y tire despacio y plano. Quite los restos con un poco de alcohol. El cristal térmico o con lámina se raya: nada de cuchillas.
        [paint] Caliéntelo con un secador de pelo, levante una esquina con la uña o una tarjeta de plástico y tire despacio y plano. La pintura vieja o repintada puede irse con él. Pruebe antes en una parte oculta lo que disuelva los restos.
        [hull] Caliéntelo con un secador de pelo en seco, levante una esquina con la uña o una tarjeta de plástico y tire despacio y plano. Pruebe antes en una parte oculta lo que disuelva los restos, y que no llegue al agua.
        [mug] Caliéntelo con un secador de pelo o en agua tibia, levante una esquina con la uña y tire despacio. Quite los restos con jabón de vajilla o un poco de alcohol, y enjuague bien.
       *[outside] Caliéntelo con un secador de pelo, levante una esquina con la uña o una tarjeta de plástico y tire despacio y plano. Quite los restos con un poco de alcohol.
    }
card-caution =
    { $surface ->
        [paint] El alcohol arde: sin llamas ni chispas, con aire fresco y seco antes de dar calor. El calor y las cuchillas dañan a las personas y la pintura. En un vehículo deje libres cristales, luces y matrículas; las normas locales van antes que esta tarjeta.
        [hull] El alcohol arde: sin llamas ni chispas, con aire fresco y seco antes de dar calor. El calor y las cuchillas dañan a las personas y el casco. Cómo ha de ser la matrícula de un barco y dónde va lo dicen las normas locales; van antes que esta tarjeta.
        [mug] El alcohol arde: sin llamas ni chispas, con aire fresco y seco antes de dar calor. Las cuchillas, lejos de la mano y del cristal, y las piezas pequeñas, de los niños. El vinilo no está hecho para tocar comida.
       *[other] El alcohol arde: sin llamas ni chispas, con aire fresco y seco antes de dar calor. El calor puede romper un cristal frío; las cuchillas cortan y rayan. Nunca donde mira quien conduce, como el parabrisas, salvo que lo permitan las normas locales; van antes que esta tarjeta.
    }

## El pie de cada hoja

measure-me = Mídame: imprima al 100 %
ruler-label = Una regla de 100 mm arriba y 4 in abajo
sheet-of = { $title }, n.º { $number }: { $page } de { $pages }
