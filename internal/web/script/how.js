// The "how" sheet opens by its fragment without script; here focus goes in and comes
// back, and Escape closes it.
export function howSheets() {
  let back = null
  const seen = () => {
    const id = decodeURIComponent(location.hash.slice(1))
    const sheet = id && document.getElementById(id)
    if (sheet && sheet.classList.contains('how')) {
      const close = sheet.querySelector('.x')
      if (close) close.focus()
    } else if (back) {
      back.focus()
      back = null
    }
  }
  addEventListener('click', (e) => {
    const opener = e.target.closest('a[href^="#how-"]')
    if (opener) back = opener
  })
  addEventListener('hashchange', seen)
  addEventListener('keydown', (e) => {
    if (e.key === 'Escape' && location.hash.startsWith('#how-')) location.hash = '#_'
  })
  seen()
}
