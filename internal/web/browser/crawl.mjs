// The pages that can be reached from Today by taps, and the answers to what is typed in
// forms that only ask.
const asked = [
  '/warm?of=D025&by=2026-12-10T07:00&work=yes&settings=1&grain=clear',
  '/blend/for?mass=1000&limit=water%3C%3D17.5',
  '/blend/for?mass=3500&limit=water%3C%3D16.8', // there is none
  '/blend/two?wet=D017',
]

// sort says of which sort a page is: two drums' pages are of one sort, Stock's parts
// are not.
function sort(url) {
  const q = [...url.searchParams].filter(([name]) => name !== 'back' && name !== 'saved').map(([name, value]) => (['show', 'step'].includes(name) ? `${name}=${value}` : name))
  return url.pathname + '?' + q.sort().join('&')
}

// most is how many pages of a sort are looked at: forms are alike, what they are about
// is not.
const ofSort = (url) => (/^\/(do|enter|write|bring-in|correct|clean|setup)\b/.test(url.pathname) ? 1 : 2)

// isFile reports whether a link leads to a file, which a viewer of the browser's opens.
const isFile = (url) => url.searchParams.has('as') || url.pathname === '/labels/file'

// crawl opens pages by links from Today on and calls see with each: its address and the
// answer. It gives the addresses seen.
export async function crawl(page, site, see, most = ofSort) {
  const tried = new Set()
  const count = new Map()
  const add = (key) => { count.set(key, (count.get(key) || 0) + 1); return count.get(key) }
  const line = ['/', ...asked]
  const visited = []
  while (line.length > 0) {
    const path = line.shift()
    let answer
    try {
      answer = await page.goto(site.url + path)
    } catch (e) {
      if (String(e).includes('Download is starting')) continue // a table to fill in, not a page
      throw e
    }
    const here = new URL(page.url())
    const key = here.pathname + here.search
    const n = visited.includes(key) ? Infinity : add(sort(here))
    if (n > most(here)) continue
    visited.push(key)
    await see(key, answer)
    for (const link of await page.$$eval('a[href^="/"]', (all) => all.map((a) => a.getAttribute('href')))) {
      const url = new URL(link, site.url)
      const to = url.pathname + url.search
      if (tried.has(to) || url.pathname.startsWith('/asset/') || isFile(url)) continue
      tried.add(to)
      // of which sort a thing is shows only afterwards
      if (add('try ' + sort(url)) <= (url.pathname === '/thing' ? 40 : most(url))) line.push(to)
    }
  }
  return visited
}
