// What a test of reach measures in a page. It stands in every page before the page's own scripts.
globalThis.reach = (() => {
  const all = (selector) => [...document.querySelectorAll(selector)];
  const isSeen = (element) => element.checkVisibility({ visibilityProperty: true }) && !element.closest(".unseen");
  const name = (element) => {
    const shown = element.id || element.name || element.getAttribute("aria-label") || element.textContent;
    return `${element.localName} ${shown.trim().replaceAll(/\s+/gu, " ").slice(0, 50)}`;
  };

  // ---- Colours: the contrast of WCAG 2.2 ----
  const pen = () => Object.assign(document.createElement("canvas"), { width: 1, height: 1 }).getContext("2d", { willReadFrequently: true });
  const known = new Map();
  const parts = (colour) => {
    if (!known.has(colour)) {
      const ink = pen();
      ink.fillStyle = colour;
      ink.fillRect(0, 0, 1, 1);
      const [red, green, blue, alpha] = ink.getImageData(0, 0, 1, 1).data;
      known.set(colour, [red, green, blue, alpha / 255]);
    }
    return known.get(colour);
  };
  const over = (front, behind, opacity = 1) => {
    const share = front[3] * opacity;
    return [0, 1, 2].map((at) => front[at] * share + behind[at] * (1 - share)).concat(1);
  };
  const light = ([red, green, blue]) => {
    const linear = (part) => (part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4);
    return 0.2126 * linear(red / 255) + 0.7152 * linear(green / 255) + 0.0722 * linear(blue / 255);
  };
  const contrast = (one, other) => {
    const [high, low] = [light(one), light(other)].sort((a, b) => b - a);
    return (high + 0.05) / (low + 0.05);
  };
  const ground = (element) => {
    if (!element) return [255, 255, 255, 1];
    const colour = parts(getComputedStyle(element).backgroundColor);
    return colour[3] === 1 ? colour : over(colour, ground(element.parentElement));
  };
  const opacity = (element) => (element ? Number(getComputedStyle(element).opacity) * opacity(element.parentElement) : 1);

  // What is painted in a picture below the middle of a text.
  const below = (text) => {
    const box = text.getBoundingClientRect();
    const middle = new DOMPoint(box.left + box.width / 2, box.top + box.height / 2);
    let colour = ground(text.ownerSVGElement.parentElement);
    for (const shape of text.ownerSVGElement.querySelectorAll("rect, path, circle")) {
      const style = getComputedStyle(shape);
      const isBefore = shape.compareDocumentPosition(text) & Node.DOCUMENT_POSITION_FOLLOWING;
      if (!isBefore || style.fill === "none" || !shape.isPointInFill(middle.matrixTransform(shape.getScreenCTM().inverse()))) continue;
      colour = over(parts(style.fill), colour, style.opacity * style.fillOpacity);
    }
    return colour;
  };

  // Texts that stand out less than 4.5 to 1, or 3 to 1 where they are large.
  const dim = () => {
    const found = [];
    const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    const seen = new Set();
    while (walker.nextNode()) {
      const element = walker.currentNode.parentElement;
      if (seen.has(element) || !walker.currentNode.data.trim() || !isSeen(element) || element.matches("option, :disabled")) continue;
      seen.add(element);
      const inPicture = element.ownerSVGElement;
      // A copy of what is cut shows its colours, whatever they are.
      if (inPicture && element.closest(".film, .lettering, .eyes, .true")) continue;
      const style = getComputedStyle(element);
      const behind = inPicture ? below(element) : ground(element);
      const told = contrast(over(parts(inPicture ? style.fill : style.color), behind, opacity(element)), behind);
      const pixels = parseFloat(style.fontSize);
      const isLarge = !inPicture && (pixels >= 24 || (pixels >= 18.66 && style.fontWeight >= 700));
      if (told < (isLarge ? 3 : 4.5)) found.push(`${name(element)}: ${told.toFixed(2)}`);
    }
    return found;
  };

  // Fields whose edge stands out less than 3 to 1 from what is around them.
  const edgeless = () =>
    all("input:not([type=range], [type=checkbox], [type=radio], [type=file]), select, textarea, button").filter(isSeen).flatMap((field) => {
      const style = getComputedStyle(field);
      // A button that is a word, underlined like a link.
      if (!parseFloat(style.borderBottomWidth) && field.localName === "button") return style.textDecorationLine === "underline" ? [] : [name(field)];
      const told = contrast(parts(style.borderBottomColor), ground(field.parentElement));
      return told < 3 ? [`${name(field)}: ${told.toFixed(2)}`] : [];
    });

  // ---- Room ----
  const boxes = (element) => {
    let around = element.parentElement;
    while (around && getComputedStyle(around).overflowX === "visible") around = around.parentElement;
    return around;
  };
  // What reaches out of the screen, and is in no box that is moved sideways by itself.
  const sideways = () => {
    const wide = document.documentElement.clientWidth;
    const found = document.documentElement.scrollWidth > wide ? [`the page: ${document.documentElement.scrollWidth} of ${wide}`] : [];
    for (const element of all("body *")) {
      const { left, right, width } = element.getBoundingClientRect();
      if (width < 2 || (right <= wide + 1 && left >= -1) || !isSeen(element) || element.ownerSVGElement) continue;
      const box = boxes(element);
      if (box && box !== document.body && box !== document.documentElement) continue;
      found.push(`${name(element)}: ${Math.round(left)} to ${Math.round(right)}`);
    }
    return found;
  };
  // Boxes that are moved by themselves can be moved with the keyboard, and those that cannot be moved cut nothing off.
  const cut = () =>
    all("body *").filter((element) => {
      // A sheet is as large as its paper, and so is what stands on it.
      if (element.ownerSVGElement || !isSeen(element) || element.matches("textarea, input, select, svg, .frame, .frame *")) return false;
      const { overflowX, overflowY } = getComputedStyle(element);
      const isOver = element.scrollWidth > element.clientWidth + 1 ? overflowX : element.scrollHeight > element.clientHeight + 1 ? overflowY : "visible";
      if (isOver === "visible") return false;
      return isOver === "hidden" || !(element.tabIndex === 0 || element.querySelector("a, button, input, select, textarea"));
    }).map(name);
  const SPACED = new CSSStyleSheet();
  SPACED.replaceSync("* { line-height: 1.5 !important; letter-spacing: 0.12em !important; word-spacing: 0.16em !important } p { margin-bottom: 2em !important }");
  const space = (spaced) => {
    document.adoptedStyleSheets = spaced ? [SPACED] : [];
  };
  const enlarge = (text) => {
    document.documentElement.style.fontSize = text;
    dispatchEvent(new Event("resize"));
  };

  // ---- Targets, motion ----
  const small = () =>
    all("a[href], button, input, select, textarea, summary").filter(isSeen).flatMap((target) => {
      const label = ["checkbox", "radio"].includes(target.type) && target.labels[0];
      const { width, height } = (label || target).getBoundingClientRect();
      // A link within a sentence is as high as the sentence.
      if (target.localName === "a" && getComputedStyle(target).display === "inline") return [];
      const least = target.matches("input[type=range], input[type=color]") ? 24 : 43.5;
      return height < least || width < 24 ? [`${name(target)}: ${width.toFixed(1)} × ${height.toFixed(1)}`] : [];
    });
  const moving = () =>
    all("*").filter((element) => {
      const { animationName, transitionDuration, scrollBehavior } = getComputedStyle(element);
      return animationName !== "none" || !/^(0s(, )?)+$/u.test(transitionDuration) || scrollBehavior === "smooth";
    }).map(name);

  // ---- The keyboard ----
  const stops = () => {
    const groups = new Set();
    return all("a[href], button, input, select, textarea, summary, [tabindex='0'], iframe").filter((element) => {
      if (element.disabled || !element.checkVisibility({ visibilityProperty: true })) return false;
      if (element.type !== "radio") return true;
      const isFirst = !groups.has(element.name);
      groups.add(element.name);
      return isFirst;
    });
  };
  const passed = new Set();
  let last;
  // Where the focus is: its name, and whatever is wrong with it.
  const here = async () => {
    await new Promise(requestAnimationFrame);
    const focus = document.activeElement;
    if (!focus || focus === document.body) return null;
    const at = focus.type === "radio" ? document.querySelector(`[name="${focus.name}"]`) : focus;
    // A date has a stop for each of its parts.
    const isAgain = passed.has(at);
    passed.add(at);
    const wrong = [];
    const shown = focus.matches(".unseen") ? document.querySelector(`label[for="${focus.id}"]`) : focus;
    const style = getComputedStyle(shown);
    const ring = contrast(parts(style.outlineColor), style.outlineOffset.startsWith("-") ? ground(shown) : ground(shown.parentElement));
    // The browser itself shows which part of a date has the focus.
    if (focus.type === "date" && isAgain) return { name: name(focus), isAgain: false, wrong, closed: false };
    if (style.outlineStyle === "none" || parseFloat(style.outlineWidth) < 2) wrong.push("no outline");
    else if (ring < 3) wrong.push(`its outline stands out by ${ring.toFixed(2)}`);
    const box = shown.getBoundingClientRect();
    const shade = document.getElementById("answers");
    const top = shade && !shade.contains(focus) && getComputedStyle(shade).position !== "static" ? shade.getBoundingClientRect().top : innerHeight;
    const middle = Math.min(box.top + box.height / 2, box.top + 60);
    if (middle < 0 || middle > top) wrong.push(`hidden at ${Math.round(middle)} of ${Math.round(top)}`);
    else {
      const hit = document.elementFromPoint(Math.min(innerWidth - 1, Math.max(0, box.left + Math.min(box.width / 2, 40))), middle);
      if (hit && !shown.contains(hit) && !hit.contains(shown) && !hit.closest("label")?.contains(shown)) wrong.push(`behind ${name(hit)}`);
    }
    if (last && last.compareDocumentPosition(at) & Node.DOCUMENT_POSITION_PRECEDING) wrong.push(`before ${name(last)}`);
    // One column is read downwards.
    const height = box.top + scrollY;
    if (last && innerWidth < 600 && !shade?.contains(at) && height + 60 < here.height) wrong.push(`above ${name(last)}`);
    here.height = shade?.contains(at) ? -1 : height;
    last = at;
    return { name: name(focus), isAgain, wrong, closed: focus.matches("details:not([open]) > summary") };
  };
  // Whether nothing is being made, and nothing has moved from one frame to the next.
  const isStill = async () => {
    const height = document.documentElement.scrollHeight;
    await new Promise((then) => requestAnimationFrame(() => requestAnimationFrame(then)));
    return !document.querySelector("[aria-busy=true]") && document.documentElement.scrollHeight === height;
  };
  const missed = () => stops().filter((stop) => !passed.has(stop)).map(name);

  // ---- What is announced ----
  const said = [];
  const listen = () => {
    const regions = all("[role=status], [role=alert], [role=log], [role=timer], [aria-live], output");
    const heard = new Map(regions.map((region) => [region, ""]));
    const text = (region) => (region.checkVisibility() ? region.innerText.replaceAll(/\s+/gu, " ").trim() : "");
    for (const region of regions) {
      heard.set(region, text(region));
      new MutationObserver(() => {
        const now = text(region);
        // What was cleared is not read out. What is written anew with the same words is, again.
        if (now) said.push({ id: region.id, now, before: heard.get(region), role: region.getAttribute("role") });
        heard.set(region, now);
      }).observe(region, { childList: true, characterData: true, subtree: true, attributes: true, attributeFilter: ["hidden"] });
    }
    return regions.length;
  };

  return { all, dim, edgeless, sideways, cut, space, enlarge, small, moving, here, isStill, missed, listen, said };
})();
