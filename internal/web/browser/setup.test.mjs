// A new house by taps, from an empty folder to the first stock; then a tablet of the
// network, paired by the code on the office PC, killed and started between, shut out.
import { after, before, test } from 'node:test'
import assert from 'node:assert/strict'
import { browse, emptyFolder, facts, serve, sizes, tablet } from './lib.mjs'
import { fits, lengthen, reads, touches } from './measure.mjs'

let browser, dir, site
before(async () => { dir = emptyFolder(); browser = await browse(); site = await serve(dir, 0, '--lan') })
after(async () => { await browser?.close(); await site?.stop() })

const save = (page) => Promise.all([page.waitForURL(/saved=/), page.locator('#add .save .btn').click()])

test('a house of 50 hives in ten minutes', async () => {
  const page = await tablet(browser, site, { person: null })
  await page.goto('/')
  assert.match(page.url(), /\/setup$/)

  await page.locator('main a[href="/setup/house"]').first().click()
  await page.fill('[name="0.name"]', 'Two Pails')
  await page.locator('label:has([name="0.rules"][value=eu])').click()
  await page.fill('[name="0.country"]', 'VM')
  await save(page)
  await page.locator('.head a[href="/setup/people"]').click()
  await page.fill('[name="0.person"]', 'AL')
  await page.fill('[name="1.person"]', 'BO')
  await save(page)
  assert.equal((await page.locator('.who .tool').last().textContent()).trim(), 'AL')
  await page.locator('.head a[href="/setup/places"]').click()
  await page.locator('label:has([value="store"])').first().click()
  await save(page)
  await page.locator('.head a[href="/setup/vessels"]').click()
  await page.locator('.shapes a[href*="pail-25"]').click()
  await page.fill('#from', 'P-01')
  await page.fill('#to', 'P-40')
  await page.fill('[name="0.tare"]', '1.1')
  await page.locator('#add .save .btn').dblclick() // a nervous finger
  await page.waitForURL(/saved=/)
  await page.locator('.shapes a[href*="gate-tank"]').click()
  await save(page)
  await page.locator('.head a[href="/setup/sites"]').click()
  await page.fill('[name="0.site"]', 'Orchard')
  await page.fill('[name="0.hives"]', '50')
  await save(page)
  await page.locator('.head a[href="/setup/instruments"]').click()
  await save(page)
  await page.locator('.head a[href="/setup/stock"]').click()
  await page.fill('[name="0.mass"]', '24.5')
  await save(page)
  await page.locator('.head a[href="/"]').click()
  assert.match(await page.title(), /Today/)

  const kinds = {}
  for (const f of await facts(dir)) kinds[f.kind] = (kinds[f.kind] || 0) + 1
  assert.deepEqual(kinds, { 'house-named': 2, 'person-named': 2, 'place-named': 1, 'vessel-named': 41, 'site-opened': 1, 'instrument-named': 1, 'stock-opened': 1 })
  await page.context().close()
})

test('every step reads well on every screen, with longer words, script off too', async () => {
  for (const [name, size] of Object.entries(sizes)) {
    const page = await tablet(browser, site, { size, person: 'AL', javaScriptEnabled: name !== 'upright' })
    const office = name === 'office'
    for (const path of ['/setup', '/setup/house', '/setup/people', '/setup/places', '/setup/vessels', '/setup/vessels?shape=drum', '/setup/sites', '/setup/instruments',
      '/setup/stock', '/setup/products', '/rules', '/do/setting?of=gap.lot', '/devices', '/pin', '/bring-in', '/bring-in?kind=vessel-named', '/settings']) {
      await page.goto(path)
      const bad = [...await page.evaluate(fits, { tables: true }), ...await page.evaluate(reads, office ? { text: 14, drawn: 11 } : { text: 16, drawn: 14 })]
      const high = await page.evaluate(() => document.documentElement.scrollHeight)
      await page.setViewportSize({ ...size, height: Math.max(size.height, Math.min(high, 16000)) })
      bad.push(...await page.evaluate(touches, office ? { across: 40, down: 40 } : { across: 56, down: 56 }))
      await page.setViewportSize(size)
      await page.evaluate(lengthen)
      bad.push(...(await page.evaluate(fits, { tables: true })).map((x) => 'longer words: ' + x))
      assert.deepEqual(bad, [], `${path} at ${name}`)
    }
    await page.context().close()
  }
})

test('a tablet is paired, knows the house after a restart, and is shut out', async () => {
  let office = await tablet(browser, site, { person: 'AL' })
  // what another program passes on is not from this computer
  const elsewhere = { person: null, extraHTTPHeaders: { 'X-Forwarded-For': '192.0.2.7' } }
  let page = await tablet(browser, site, elsewhere)
  await page.goto('/stock')
  assert.match(page.url(), /\/pair$/)
  assert.equal(await page.locator('nav').count(), 0)

  await office.goto('/devices')
  await office.locator('form[action="/devices/code"] button').click()
  const code = (await office.locator('.pincode').textContent()).replace(/\s/g, '')
  assert.match(code, /^\d{8}$/)
  await page.fill('#code', code === '11112222' ? '11112223' : '11112222')
  await page.locator('.btn.go').click()
  await page.getByRole('alert').waitFor()
  await page.fill('#code', code)
  await page.fill('#what', 'tablet by the extractor')
  await page.locator('.btn.go').click()
  await page.waitForURL(/people/)
  await page.locator('button.person').first().click()
  await page.waitForURL((u) => u.pathname === '/')

  await site.kill()
  site = await serve(dir, site.port, '--lan')
  await page.goto(site.url + '/stock')
  assert.match(page.url(), /\/stock$/)
  assert.equal((await page.locator('.who .tool').last().textContent()).trim(), 'AL')

  await office.goto(site.url + '/devices')
  await office.locator('a[href*="shut-out"]').click()
  await office.fill('[name="0.reason"]', 'lost')
  await office.locator('.save .btn').first().click()
  await office.locator('#pin-new').waitFor()
  assert.equal(await office.inputValue('[name="0.reason"]'), 'lost')
  await office.fill('#pin-new', '2580')
  await office.fill('#pin-again', '2580')
  await office.locator('.pinrow .btn').click()
  await office.waitForURL(/saved=/)
  await page.goto(site.url + '/stock')
  assert.match(page.url(), /\/pair$/)
  await page.context().close()
  await office.context().close()
})

test('a table is looked at, mended and saved', async () => {
  const page = await tablet(browser, site, { person: 'AL' })
  await page.goto('/bring-in?kind=vessel-named')
  await page.setInputFiles('#file', { name: 'drums.csv', mimeType: 'text/csv', buffer: Buffer.from('vessel;shape;tare\nS-001;drum;17\nS-002;barrel;17\n') })
  await page.locator('button[value=check]').click()
  await page.locator('table.nums tbody tr').first().waitFor()
  assert.deepEqual(await page.locator('[role=alert] table.nums tbody tr').first().locator('th,td').allTextContents().then((all) => all.slice(0, 2)), ['3', 'shape'])
  await page.fill('#content', (await page.inputValue('#content')).replace('barrel', 'drum'))
  await page.locator('button[value=check]').click()
  await page.locator('button[value=save]').click()
  await page.waitForURL(/saved=/)
  const drums = (await facts(dir)).filter((f) => f.vessel?.startsWith('S-0'))
  assert.equal(drums.length, 2)
  await page.context().close()
})
