// What is measured on a page as it is shown. Each function runs in the page and gives
// what is wrong as lines of text; the bounds are those that the house's look was drawn to.

// fits: nothing is wider than the window, runs out of its box, is cut off or stands on
// something else.
export function fits({ tables }) {
  const wrong = []
  const wide = document.documentElement.clientWidth
  const name = (el) => el.tagName.toLowerCase() + (el.id ? '#' + el.id : '') + (el.classList.length ? '.' + [...el.classList].join('.') : '')
  const seen = (el) => el.checkVisibility({ checkOpacity: true, checkVisibilityCSS: true }) && !el.closest('.vh, .skip, .how, [hidden]')
  const rolls = (el) => el.closest('.scrollx, .rolls')
  const lacks = document.body.innerText.match(/⟦[^⟧]*⟧/) // what stands where the catalogue has no text
  if (lacks) wrong.push(`${lacks[0]} has no text`)
  if (document.documentElement.scrollWidth > wide + 1) wrong.push(`the page is ${document.documentElement.scrollWidth} px wide in a window of ${wide}`)
  for (const el of document.body.querySelectorAll('*')) {
    if (!seen(el)) continue
    const box = el.getBoundingClientRect()
    if (box.width > 0 && box.right > wide + 1 && !rolls(el) && !el.closest('svg')) wrong.push(`${name(el)} ends at ${Math.round(box.right)} px`)
    const style = getComputedStyle(el)
    if (/hidden|clip/.test(style.overflowX) && el.scrollWidth > el.clientWidth + 1 && el.innerText?.trim()) wrong.push(`${name(el)} cuts off “${el.innerText.trim().slice(0, 40)}”`)
    if (el.classList.contains('scrollx') && !tables && el.scrollWidth > el.clientWidth + 1) wrong.push(`a table is ${el.scrollWidth} px wide in ${el.clientWidth}: “${el.innerText.trim().slice(0, 40)}”`)
  }
  // words out of their box, and words on words
  const boxes = 'button, .btn, .st, td, th, .fld, .sheet, .bay, .flow a, .pick span, .tool, .answer, .lead, .note, summary, legend, .receipt, .pad button'
  const lines = []
  const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT)
  for (let node = walk.nextNode(); node; node = walk.nextNode()) {
    const text = node.data.trim()
    const el = node.parentElement
    if (!text || !seen(el) || ['SCRIPT', 'STYLE', 'OPTION', 'TEXTAREA'].includes(el.tagName)) continue
    const range = document.createRange()
    range.selectNodeContents(node)
    const roll = rolls(el)?.getBoundingClientRect()
    const box = el.closest(boxes)?.getBoundingClientRect()
    for (const r of range.getClientRects()) {
      if (r.width < 1) continue
      if (box && !el.closest('svg') && (r.right > box.right + 1.5 || r.left < box.left - 1.5 || r.bottom > box.bottom + 4)) {
        wrong.push(`“${text.slice(0, 40)}” runs out of ${name(el.closest(boxes))}`)
        break
      }
      if (!roll || (r.left >= roll.left - 1 && r.right <= roll.right + 1)) lines.push({ r, text, el })
    }
  }
  lines.sort((a, b) => a.r.top - b.r.top)
  for (let i = 0; i < lines.length; i++) {
    for (let j = i + 1; j < lines.length && lines[j].r.top < lines[i].r.bottom; j++) {
      const a = lines[i], b = lines[j]
      if (a.el === b.el || getComputedStyle(a.el).position === 'sticky') continue
      const across = Math.min(a.r.right, b.r.right) - Math.max(a.r.left, b.r.left)
      const down = Math.min(a.r.bottom, b.r.bottom) - Math.max(a.r.top, b.r.top)
      // a line's box is higher than its letters: a quarter of it above and below is air
      if (across > 2 && down > 0.5 * Math.min(a.r.height, b.r.height)) wrong.push(`“${a.text.slice(0, 30)}” stands on “${b.text.slice(0, 30)}”`)
    }
  }
  return [...new Set(wrong)].slice(0, 12)
}

// touches: every link, button and field takes a finger of so many pixels around its
// middle. The window must be as high as the page.
export function touches({ across, down }) {
  const wrong = []
  const all = document.querySelectorAll('a[href], button, input:not([type=hidden]), select, textarea, summary')
  for (const el of all) {
    if (el.closest('.skip, .vh, .how, [hidden]') || !el.checkVisibility({ checkVisibilityCSS: true })) continue
    const cell = el.closest('td, th')
    let box = el.getBoundingClientRect()
    const label = el.closest('label') || (el.id && document.querySelector(`label[for="${CSS.escape(el.id)}"]`))
    const whole = label && label.contains(el) ? label : null
    if (whole) box = whole.getBoundingClientRect()
    else if (cell) box = cell.getBoundingClientRect()
    if (box.width === 0 || el.closest('.scrollx') && box.right > el.closest('.scrollx').getBoundingClientRect().right) continue
    const x = box.left + box.width / 2, y = box.top + box.height / 2
    const hits = (dx, dy) => {
      const at = document.elementFromPoint(x + dx, y + dy)
      return at && (el.contains(at) || at.contains(el) && (at.tagName === 'LABEL' || at.tagName === 'A') || whole?.contains(at))
    }
    const w = across / 2 - 1, h = down / 2 - 1
    if (!(hits(-w, 0) && hits(w, 0) && hits(0, -h) && hits(0, h))) {
      const at = el.getBoundingClientRect()
      wrong.push(`${el.tagName.toLowerCase()} “${(el.innerText || el.getAttribute('aria-label') || el.name || '').trim().slice(0, 30)}” is ${Math.round(at.width)} × ${Math.round(at.height)} px`)
    }
  }
  return [...new Set(wrong)].slice(0, 12)
}

// reads: no text is smaller than so many pixels as shown, in drawings smaller than so many.
export function reads({ text, drawn }) {
  const wrong = []
  const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT)
  for (let node = walk.nextNode(); node; node = walk.nextNode()) {
    const el = node.parentElement
    if (!node.data.trim() || !el.checkVisibility() || el.closest('.vh, .skip, script, style')) continue
    let size = parseFloat(getComputedStyle(el).fontSize)
    const svg = el.closest('svg')
    if (svg) size *= Math.abs(el.getScreenCTM().a)
    if (size < (svg ? drawn : text) - 0.05) wrong.push(`“${node.data.trim().slice(0, 30)}” is ${size.toFixed(1)} px`)
  }
  return [...new Set(wrong)].slice(0, 12)
}

// lengthen makes every word longer by two fifths, as another language may.
export function lengthen() {
  const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT)
  for (let node = walk.nextNode(); node; node = walk.nextNode()) {
    if (['SCRIPT', 'STYLE'].includes(node.parentElement.tagName)) continue
    node.data = node.data.replace(/\p{L}{3,}/gu, (word) => word + word.toLowerCase().slice(-Math.ceil(0.4 * word.length)))
  }
}
