// The season's main path by taps, on each size: a lot comes in, is weighed, spun, run
// into a tank, drawn into a drum, read, held, traced, corrected and printed.
import { after, before, test } from 'node:test'
import assert from 'node:assert/strict'
import { browse, copyHouse, facts, serve, sizes, tablet, taps } from './lib.mjs'

let browser, dir, site
before(async () => { dir = copyHouse(); browser = await browse(); site = await serve(dir) })
after(async () => { await browser?.close(); await site?.stop() })

const last = async () => (await facts(dir)).at(-1)
const { follow, tab, pick, typed, save } = taps(() => dir)

Object.entries(sizes).forEach(([name, size], i) => {
  test(`from the truck to the printed trace, ${name}`, { timeout: 300_000 }, async () => {
    const page = await tablet(browser, site, { size })
    const [lot, drum, steel] = [`L9${i}`, `D09${i}`, `S-00${1 + i}`]
    await page.goto(site.url + '/')

    await tab(page, 'Intake')
    await follow(page, page.locator('main a[href^="/enter/load"]'))
    await page.fill('[name="0.lot"]', lot)
    await pick(page, '0.site', 'Brackenlow')
    await page.fill('[name="1.boxes"]', '8')
    await save(page)

    await tab(page, 'Intake')
    await pick(page, '0.lot', lot)
    await pick(page, '0.stacks.1.boxes', '8')
    await typed(page, '0.stacks.1.gross', '216.4')
    await save(page)

    await tab(page, 'Extract')
    await follow(page, page.locator('main a[href^="/enter/spin"]'))
    await pick(page, '0.lot', lot)
    await typed(page, '0.boxes', '8')
    await pick(page, '0.machines', 'extractor A')
    await save(page)

    await tab(page, 'Extract')
    if (i > 0) await follow(page, page.locator(`main a[href="/extract?lot=${lot}"]`)) // the lots before are in work too
    await follow(page, page.locator(`main a[href^="/enter/run-in"][href*="${lot}"]`))
    await pick(page, '0.into', 'S1')
    await save(page)

    await tab(page, 'Today')
    assert.match(await page.locator('#house a.bay:has(dt:text-is("S1"))').innerText(), new RegExp(lot), 'Today shows what runs into S1')
    const floors = await page.$$eval('#house .room:first-child .draw', (all) => [...new Set(all.map((d) => Math.round(d.getBoundingClientRect().bottom)))])
    assert.ok(floors.length <= (name === 'upright' ? 2 : 1), `the tanks stand on ${floors.length} floors`)
    await follow(page, page.locator('#house a.bay:has(dt:text-is("S1"))'))
    await follow(page, page.locator('main a[href^="/do/drum-off"]'))
    await page.locator('[name="0.steel.typed"]').fill(steel)
    await page.fill('[name="0.drum"]', drum)
    await typed(page, '0.gross', '158.6')
    await save(page)
    assert.equal((await facts(dir)).filter((f) => f.kind === 'drum-filled').at(-1).drum, drum)

    await page.goto(site.url + `/vessel?of=${drum}`)
    await follow(page, page.locator('main a[href^="/do/reading"]'))
    if (await page.locator('main a[href*="what=water"]').count()) await follow(page, page.locator('main a[href*="what=water"]'))
    await page.locator('input.figure:visible').first().fill('17.4')
    await save(page)
    assert.equal((await last()).kind, 'result-read')

    await page.goto(site.url + `/vessel?of=${drum}`)
    await follow(page, page.locator('.holdit'))
    await page.locator('label.pick:has([name="0.cause"])').first().click()
    await page.fill('[name="0.reason"]', 'tastes of smoke')
    await save(page)
    assert.deepEqual((await last()).roots, [drum])

    await tab(page, 'Trace')
    await page.fill('#code', drum)
    await follow(page, page.locator('main .find button'))
    if (!page.url().includes('/trace')) await follow(page, page.locator('main a[href^="/trace?of="]'))
    const said = await page.locator('main').innerText()
    assert.match(said, new RegExp(lot), 'the trace names the lot')
    assert.match(said, /Brackenlow/, 'and the site')

    await page.emulateMedia({ media: 'print' })
    assert.ok(await page.locator('.foot').isVisible(), 'the printed page has a foot')
    assert.ok(!(await page.locator('.bar').isVisible()), 'and no cover')
    const pdf = (await page.pdf({ preferCSSPageSize: true })).toString('latin1')
    assert.ok(pdf.match(/\/Type\s*\/Page[^s]/g).length >= 1)
    await page.emulateMedia({ media: 'screen' })

    await page.goto(site.url + `/history?of=${drum}`)
    const filled = (await facts(dir)).findLast((f) => f.kind === 'drum-filled')
    await follow(page, page.locator(`main a[href*="fact=${filled.seq}"]`))
    await page.locator('input[name$="gross"]').first().fill('158.8')
    await page.locator('input[name$="reason"], textarea[name$="reason"]').first().fill('misread')
    await save(page)
    const amended = await last()
    assert.equal(amended.kind, 'amended')
    assert.equal(await correctedGross(page, drum), true, 'the drum weighs what was corrected')
    await page.context().close()
  })
})

// correctedGross: 158.8 kg less the 18.6 kg of the empty drum is shown.
async function correctedGross(page, drum) {
  await page.goto(site.url + `/vessel?of=${drum}`)
  return /140\.2/.test(await page.locator('main').innerText())
}
