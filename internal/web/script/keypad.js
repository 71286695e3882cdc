// The big keypad. A number field that is marked takes what the keypad types, and the
// tablet's own keyboard stays away from it. Typing on a keyboard works as well.
export function keypad() {
  let field = null // the marked field
  let fresh = true // the next key replaces what stands there

  const fields = () => [...document.querySelectorAll('input.figure')]
  const mark = (f) => {
    field = f
    fresh = true
    for (const x of fields()) x.closest('.fld')?.classList.toggle('marked', x === f)
  }
  const pads = () => document.querySelectorAll('.pad')
  if (pads().length === 0) return
  for (const pad of pads()) {
    pad.hidden = false
    pad.closest('form')?.classList.add('padded')
  }
  for (const f of fields()) {
    f.inputMode = 'none'
    f.addEventListener('focus', () => { mark(f); pads()[0].scrollIntoView({ block: 'nearest' }) })
    f.addEventListener('input', () => { fresh = false })
  }
  const first = fields().find((f) => f.value === '' && f.required) || fields()[0]
  if (first && !document.querySelector('.refused')) mark(first)

  addEventListener('click', (e) => {
    const key = e.target.closest('.pad [data-k]')
    if (!key || !field) return
    e.preventDefault()
    const k = key.dataset.k
    let v = field.value
    if (k === 'del') v = v.slice(0, -1)
    else if (k === 'sign') v = v.startsWith('-') ? v.slice(1) : '-' + v
    else {
      if (fresh) v = ''
      const point = k === '.' || k === ','
      if (!(point && /[.,]/.test(v)) && v.length < 12) v += k
    }
    fresh = false
    field.value = v
    field.dispatchEvent(new Event('change', { bubbles: true }))
  })
}
