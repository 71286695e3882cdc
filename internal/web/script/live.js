// Live parts: when the house has news, the page is read again and the parts marked
// data-live are put in place, at most once a second and never under a finger. The page
// says of how many facts it is made, the news how many there are: nothing is missed
// while the line was lost or before it was there.
export function live() {
  const again = 3000 // ms until the house is asked for again
  const parts = () => document.querySelectorAll('[data-live][id]')
  const made = (page) => Number(page.getElementById('main')?.dataset.facts)
  let shown = made(document)
  let last = 0
  let waiting = null
  let source = null
  let gone = false
  let held = false // a part under a finger waits

  const swap = async () => {
    waiting = null
    last = Date.now()
    const answer = await fetch(location.href.split('#')[0], { headers: { 'Combline-Part': 'live' } })
    if (!answer.ok) return
    const page = new DOMParser().parseFromString(await answer.text(), 'text/html')
    held = false
    for (const part of parts()) {
      const next = page.getElementById(part.id)
      if (!next || next.innerHTML === part.innerHTML) continue
      if (part.contains(document.activeElement)) held = true
      else part.replaceWith(document.adoptNode(next))
    }
    shown = made(page)
  }
  const news = () => {
    if (waiting || parts().length === 0) return
    waiting = setTimeout(() => swap().catch(() => {}), Math.max(0, 1000 - (Date.now() - last)))
  }
  const lost = (is) => {
    const banner = document.getElementById('lost')
    if (banner) banner.hidden = !is
  }
  const listen = () => {
    source = new EventSource('/news')
    source.onopen = () => lost(false)
    source.onmessage = (e) => { if (!(Number(e.data) <= shown)) news() }
    source.addEventListener('clock', (e) => {
      const [time, day] = e.data.split('|')
      const clock = document.getElementById('clock')
      if (!clock) return
      clock.querySelector('b').textContent = time
      if (day) clock.querySelector('span').textContent = day
    })
    // a search for a blend came further: only the page that shows it is read again
    source.addEventListener('blend', (e) => { if (document.querySelector(`[data-blend="${CSS.escape(e.data)}"]`)) news() })
    source.onerror = () => {
      lost(true)
      if (source.readyState === EventSource.CLOSED) setTimeout(() => gone || listen(), again) // the browser gave up
    }
  }
  if (window.EventSource) listen()
  addEventListener('focusout', () => { if (held) news() })
  addEventListener('pagehide', () => { gone = true; source?.close() })
  addEventListener('pageshow', (e) => { if (e.persisted) { gone = false; listen() } })
}
