// A form is sent without leaving the page: while the line to the house is broken, what
// was typed stays, and saved again it bears the same key, so that it is written once.
export function sending() {
  let busy = false

  const say = (form) => {
    const text = document.getElementById('unsent')
    if (!text) return
    const button = form.querySelector('.save') || form.querySelector('button:not([type=button])')
    if (button) button.before(text)
    text.hidden = false
    text.scrollIntoView({ block: 'center' })
  }

  const send = async (form, submitter) => {
    const data = new FormData(form, submitter)
    const body = form.enctype === 'multipart/form-data' ? data : new URLSearchParams(data)
    const answer = await fetch(submitter?.getAttribute('formaction') || form.getAttribute('action') || location.href, { method: 'POST', body })
    const page = await answer.text()
    if (answer.redirected) {
      // back on the same page: load it again where the hand was
      if (!data.get('at') || new URL(answer.url).pathname !== location.pathname) return location.assign(answer.url)
      history.replaceState(null, '', answer.url)
      return location.reload()
    }
    dispatchEvent(new Event('pagehide')) // what listens for news lets go
    document.open()
    document.write(page)
    document.close()
    scrollTo(0, 0)
  }

  addEventListener('submit', async (e) => {
    const form = e.target
    if (e.defaultPrevented || form.method !== 'post') return
    e.preventDefault()
    if (busy) return // the second of two taps
    busy = true
    form.setAttribute('aria-busy', 'true')
    try {
      await send(form, e.submitter)
    } catch {
      busy = false
      form.removeAttribute('aria-busy')
      say(form)
    }
  })
  addEventListener('pageshow', () => { busy = false })
}
