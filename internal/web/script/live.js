// Live parts: when the house has news, the page is read again and the parts marked
// data-live are put in place, at most once a second and never under a finger.
export function live() {
  const parts = () => document.querySelectorAll('[data-live][id]')
  let last = 0
  let waiting = null
  let source = null

  const swap = async () => {
    waiting = null
    last = Date.now()
    const answer = await fetch(location.href.split('#')[0], { headers: { 'Combline-Part': 'live' } })
    if (!answer.ok) return
    const page = new DOMParser().parseFromString(await answer.text(), 'text/html')
    for (const part of parts()) {
      const next = page.getElementById(part.id)
      if (!next || next.innerHTML === part.innerHTML || part.contains(document.activeElement)) continue
      part.replaceWith(document.adoptNode(next))
    }
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
    source.onmessage = news
    source.addEventListener('clock', (e) => {
      const [time, day] = e.data.split('|')
      const clock = document.getElementById('clock')
      if (!clock) return
      clock.querySelector('b').textContent = time
      if (day) clock.querySelector('span').textContent = day
    })
    source.onerror = () => lost(true)
  }
  if (window.EventSource) listen()
  addEventListener('pagehide', () => source?.close())
  addEventListener('pageshow', (e) => { if (e.persisted) listen() })
}
