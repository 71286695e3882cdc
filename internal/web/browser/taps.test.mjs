// How many taps from Today answer the questions that are asked most. docs/taps.md holds
// what was counted; UPDATE=1 writes it again.
import { after, before, test } from 'node:test'
import assert from 'node:assert/strict'
import { readFileSync, writeFileSync } from 'node:fs'
import { browse, copyHouse, serve, tablet } from './lib.mjs'

let browser, site
before(async () => { browser = await browse(); site = await serve(copyHouse()) })
after(async () => { await browser?.close(); await site?.stop() })

const tab = (name) => ['the tab ' + name, `nav.flow a:has-text("${name}")`]

// What is asked, what is tapped, and what the page at the end must say.
const questions = [
  ['What is in tank S1?', [['S1 in the drawing of the house', '#house a.bay:has(dt:text-is("S1"))']], /S1[\s\S]*(empty|clean|0 kg)/i],
  ['May drum 41 be sold?', [['the menu', '.who a.tool[href="/house"]'], ['Holds', 'main a[href="/holds"]'], ['D041 of the hold for heat', 'main a:has-text("D041")']], /It went to Penny Lantern[\s\S]*Released from H-03[\s\S]*cooking grade only/],
  ['What happened to L05?', [tab('Trace'), ['L05', 'main ul a:has-text("L05")']], /L05[\s\S]*Where it is now/i],
  ['Who else got the jars of the complaint?', [['Complaint K-01 under Due', '#due li:has-text("K-01") a.btn']], /Who got it[\s\S]*DN-/],
]

test('what is asked most takes at most four taps from Today', { timeout: 300_000 }, async () => {
  const rows = []
  for (const [question, steps, answer] of questions) {
    const page = await tablet(browser, site)
    await page.goto(site.url + '/')
    for (const [what, where] of steps) {
      const target = page.locator(where).first()
      assert.ok(await target.isVisible(), `${question} ${what} is not on ${page.url()}`)
      const from = page.url()
      await target.click()
      await page.waitForFunction((from) => location.href !== from, from)
    }
    await page.waitForLoadState()
    const said = await page.locator('main').innerText()
    assert.match(said, answer, question)
    assert.ok(steps.length <= 4, `${question} takes ${steps.length} taps`)
    rows.push(`| ${question} | ${steps.length} | ${steps.map(([what]) => what).join(', ')} |`)
    await page.context().close()
  }
  const text = `# Taps

Counted in a browser at a tablet of 1280 × 800, in the demo house, from Today. Nothing is
typed. Bound: at most four.

| asked | taps | what is tapped |
|---|---|---|
${rows.join('\n')}

Ten stacks are weighed in with the keys on the screen, each with at most seven taps: the
figures and Save, and on the first the number of boxes.
`
  const file = new URL('../../../docs/taps.md', import.meta.url)
  if (process.env.UPDATE) writeFileSync(file, text)
  assert.equal(readFileSync(file, 'utf8'), text, 'docs/taps.md says something else: UPDATE=1')
})
