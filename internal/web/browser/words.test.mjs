// The first page of every sort, looked at by axe-core, then with every word longer by
// two fifths, as another language may have them.
import { after, before, test } from 'node:test'
import assert from 'node:assert/strict'
import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { browse, copyHouse, serve, sizes, tablet } from './lib.mjs'
import { crawl } from './crawl.mjs'
import { fits, lengthen } from './measure.mjs'

const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8')
let browser, site
before(async () => { browser = await browse(); site = await serve(copyHouse()) })
after(async () => { await browser?.close(); await site?.stop() })

// findings of axe-core that keep somebody from using the page.
async function findings(page) {
  await page.evaluate(axe)
  const { violations } = await page.evaluate(() => axe.run({ resultTypes: ['violations'] }))
  return violations.filter((v) => ['serious', 'critical'].includes(v.impact))
    .map((v) => `${v.id}: ${v.help}: ${v.nodes.slice(0, 3).map((n) => n.target.join(' ')).join('; ')}`)
}

// What people read most, in the languages of the house as they are: nothing overflows,
// and on a screen that lies across no table has to be pushed.
test('Spanish and Polish fit', { timeout: 300_000 }, async () => {
  const wrong = []
  for (const person of ['hand-2', 'hand-3']) {
    const page = await tablet(browser, site, { person })
    for (const path of ['/', '/stock', '/trace?of=R1-01', '/trace?of=E-01', '/recall?of=R1-01', '/balance', '/vessel?of=D041', '/vessel?of=D035', '/holds', '/watch', '/intake', '/extract', '/site?of=Ambry+Hill', '/house', '/setup/people', '/setup/products', '/blend', '/fill', '/warm?of=D025&by=2026-12-10T07:00&work=yes&settings=1&grain=clear', '/send', '/send/pick?of=O-06', '/send/note?of=DN-O-02', '/orders', '/orders?of=O-06', '/products', '/products?of=summer+340', '/materials', '/complaints', '/do/order', '/do/complaint']) {
      await page.goto(site.url + path)
      for (const [name, size] of Object.entries({ ...sizes, phone: { width: 390, height: 844 }, 'small phone': { width: 360, height: 640 } })) {
        await page.setViewportSize(size)
        // only upright some have to be pushed: on a phone a row is a card
        wrong.push(...(await page.evaluate(fits, { tables: name === 'upright' })).map((line) => `${path} for ${person}, ${name}: ${line}`))
      }
    }
    await page.context().close()
  }
  if (wrong.length > 0) assert.fail('\n' + wrong.join('\n'))
})

test('every sort of page', { timeout: 720_000 }, async () => {
  const wrong = []
  let looked = 0
  const page = await tablet(browser, site)
  await crawl(page, site, async (path, answer) => {
    if (!answer.ok()) return
    looked++
    const tell = (what, lines) => wrong.push(...lines.map((line) => `${path}, ${what}: ${line}`))
    tell('axe', await findings(page))
    await page.evaluate(lengthen)
    for (const size of Object.keys(sizes)) {
      await page.setViewportSize(sizes[size])
      tell(`longer words, ${size}`, await page.evaluate(fits, { tables: true }))
    }
    await page.setViewportSize(sizes.tablet)
  }, () => 1)
  assert.ok(looked > 60, `only ${looked} sorts of page were found`)
  if (wrong.length > 0) assert.fail('\n' + wrong.join('\n'))
})
