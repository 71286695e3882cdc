// A house of 600 drums, 250 sites and five seasons reads and scrolls on every page.
import { after, before, test } from 'node:test'
import assert from 'node:assert/strict'
import { browse, copyHouse, serve, sizes, tablet } from './lib.mjs'
import { fits } from './measure.mjs'

let browser, site
before(async () => { browser = await browse(); site = await serve(copyHouse(process.env.LARGE)) })
after(async () => { await browser?.close(); await site?.stop() })

const pages = ['/', '/watch', '/intake', '/extract', '/daybalance', '/stock', '/stock?show=drums', '/stock?show=places', '/stock?q=barn', '/blend', '/fill', '/send', '/orders', '/products', '/materials', '/complaints', '/warm', '/trace',
  '/trace?of=LL100', '/trace?of=Bramble+Cross+11', '/trace?of=E-01', '/trace?of=R1-01', '/recall?of=LL100', '/vessel?of=DL300-Y4', '/vessel?of=S1', '/holds', '/history', '/history?of=LL100', '/history?of=S1', '/trace?of=LL100&table=possible-into', '/trace?of=E-01&table=machines&from=401', '/recall?of=Brackenlow', '/balance?all=lots', '/balance?all=runs&from=401',
  '/sites', '/site?of=Bramble+Cross+11', '/lab', '/care', '/balance', '/balance?of=LL100', '/papers', '/setup/vessels', '/setup/sites', '/sites?q=cross', '/stock?q=LL001-Y4', '/setup/stock', '/do/hold?of=DL300-Y4', '/do/move?of=DL300-Y4', '/enter/load?back=/intake']

// What a page may hold, so that a tablet of ten years lays it out at once: a bound of
// our own. How long it takes here is told, not tested: the machine may be busy.
const most = 16_000 // elements

test('every page of a large house', { timeout: 600_000 }, async () => {
  const wrong = []
  const page = await tablet(browser, site)
  let slowest = { layout: 0 }
  for (const path of pages) {
    const answer = await page.goto(site.url + path)
    if (!answer.ok()) wrong.push(`${path} is answered with ${answer.status()}`)
    for (const [name, size] of Object.entries(sizes)) {
      await page.setViewportSize(size)
      wrong.push(...(await page.evaluate(fits, { tables: name === 'upright' })).map((line) => `${path}, ${name}: ${line}`))
    }
    await page.setViewportSize(sizes.tablet)
    const { nodes, layout, high } = await page.evaluate(() => {
      const begin = performance.now()
      document.body.style.width = `${document.body.clientWidth - 40}px` // lay it all out again
      const high = document.body.scrollHeight
      const layout = performance.now() - begin
      document.body.style.width = ''
      return { nodes: document.querySelectorAll('*').length, layout, high }
    })
    if (nodes > most) wrong.push(`${path} has ${nodes} elements`)
    if (layout > slowest.layout) slowest = { path, layout, nodes }
    await page.evaluate((high) => scrollTo(0, high), high)
    const at = await page.evaluate(() => scrollY + innerHeight >= document.documentElement.scrollHeight - 2)
    if (!at) wrong.push(`${path} does not scroll to its end`)
  }
  console.log(`the longest to lay out is ${slowest.path}: ${Math.round(slowest.layout)} ms, ${slowest.nodes} elements`)
  if (wrong.length > 0) assert.fail('\n' + wrong.join('\n'))
})

test('a number is found among 600 drums by its number', async () => {
  const page = await tablet(browser, site)
  await page.goto(site.url + '/stock')
  await page.fill('#q', 'DL417-Y4')
  await Promise.all([page.waitForURL(/q=DL417/), page.keyboard.press('Enter')])
  assert.match(await page.locator('#stock').innerText(), /DL417-Y4/)
})
