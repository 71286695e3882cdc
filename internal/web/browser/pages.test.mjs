// Every page that taps can reach, measured as it is shown: on the three sizes, at twice
// the size and on a phone. No page asks for anything outside.
import { after, before, test } from 'node:test'
import assert from 'node:assert/strict'
import { browse, copyHouse, serve, sizes, tablet } from './lib.mjs'
import { crawl } from './crawl.mjs'
import { fits, reads, touches } from './measure.mjs'

let browser, site
before(async () => { browser = await browse(); site = await serve(copyHouse()) })
after(async () => { await browser?.close(); await site?.stop() })

// The bounds: fingers in gloves at a tablet, a mouse in the office.
const bounds = {
  tablet: { finger: { across: 56, down: 56 }, text: { text: 16, drawn: 14 } },
  upright: { finger: { across: 56, down: 56 }, text: { text: 16, drawn: 14 } },
  office: { finger: { across: 40, down: 40 }, text: { text: 14, drawn: 11 } },
}

// shown measures the page on one size.
async function shown(page, size, tell) {
  await page.setViewportSize(sizes[size])
  tell(size, await page.evaluate(fits, { tables: size === 'upright' }))
  tell(size, await page.evaluate(reads, bounds[size].text))
  const high = await page.evaluate(() => document.documentElement.scrollHeight)
  await page.setViewportSize({ ...sizes[size], height: Math.max(sizes[size].height, Math.min(high, 16000)) })
  tell(size, await page.evaluate(touches, bounds[size].finger))
}

test('every page', { timeout: 720_000 }, async () => {
  const wrong = []
  const page = await tablet(browser, site)
  page.on('request', (r) => { if (!r.url().startsWith(site.url) && !r.url().startsWith('data:')) wrong.push(`${page.url()} asks ${r.url()}`) })
  page.on('pageerror', (e) => wrong.push(`${page.url()}: ${e}`))
  page.on('console', (m) => { if (m.type() === 'error' && !m.text().includes('404')) wrong.push(`${page.url()}: ${m.text()}`) })
  const seen = await crawl(page, site, async (path, answer) => {
    const tell = (what, lines) => wrong.push(...lines.map((line) => `${path}, ${what}: ${line}`))
    if (!answer.ok()) return tell('led to by a link', [`is answered with ${answer.status()}`])
    for (const size of Object.keys(sizes)) await shown(page, size, tell)
    await page.setViewportSize({ width: 640, height: 400 }) // what 1280 × 800 is at twice the size
    tell('twice the size', await page.evaluate(fits, { tables: true }))
    await page.setViewportSize({ width: 390, height: 800 })
    tell('a phone', await page.evaluate(fits, { tables: true }))
    await page.setViewportSize(sizes.tablet)
  })
  assert.ok(seen.length > 80, `only ${seen.length} pages were found`)
  if (wrong.length > 0) assert.fail('\n' + wrong.join('\n'))
})
