// The pages that can be reached from Today by taps.

// sort says of which sort a page is: two drums' pages are of one sort, Stock's parts
// are not.
function sort(url) {
  const q = [...url.searchParams].filter(([name]) => name !== 'back' && name !== 'saved').map(([name, value]) => (['show', 'step'].includes(name) ? `${name}=${value}` : name))
  const path = url.pathname.replace(/^\/setup\/.*/, '/setup/step') // each step is measured where a house is set up
  return path + '?' + q.sort().join('&')
}

// crawl opens pages by links from those given, two of each sort, and calls see with
// each. It gives the addresses seen.
export async function crawl(page, site, see, { from = ['/'], most = 2 } = {}) {
  const seen = new Set()
  const count = new Map()
  const line = [...from]
  const visited = []
  while (line.length > 0) {
    const path = line.shift()
    const answer = await page.goto(site.url + path)
    const here = new URL(page.url())
    const key = here.pathname + here.search
    if (visited.includes(key)) continue
    const kind = sort(here)
    if ((count.get(kind) || 0) >= most) continue
    count.set(kind, (count.get(kind) || 0) + 1)
    visited.push(key)
    await see(key, answer)
    const links = await page.$$eval('a[href^="/"]', (all) => all.map((a) => a.getAttribute('href')))
    for (const link of links) {
      const url = new URL(link, site.url)
      const to = url.pathname + url.search
      if (seen.has(to) || url.pathname.startsWith('/asset/')) continue
      seen.add(to)
      // of things that are led to by /thing many more are tried, as their sort shows only afterwards
      const tried = sort(url)
      const n = count.get('try ' + tried) || 0
      if (n >= (url.pathname === '/thing' ? 40 : most)) continue
      count.set('try ' + tried, n + 1)
      line.push(to)
    }
  }
  return visited
}
