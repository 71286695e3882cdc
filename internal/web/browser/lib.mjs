// What the browser tests and the pictures share: a house that is served, a browser,
// and pages of it. The program is named by COMBLINE, a demo house to copy by HOUSE.
import { chromium } from 'playwright-core'
import assert from 'node:assert/strict'
import { execFile, spawn } from 'node:child_process'
import { cpSync, mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { promisify } from 'node:util'

export const program = process.env.COMBLINE
export const sizes = {
  tablet: { width: 1280, height: 800 },
  upright: { width: 820, height: 1180 },
  office: { width: 1680, height: 1050 },
}

// photo is a picture of one point, to be sent with a form.
export const photo = { name: 'lid.png', mimeType: 'image/png', buffer: Buffer.from('iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mNk+M9QDwADhgGAWjR9awAAAABJRU5ErkJggg==', 'base64') }

const made = []
process.on('exit', () => { for (const dir of made) rmSync(dir, { recursive: true, force: true }) })

// copyHouse is a demo house of one's own.
export function copyHouse(from = process.env.HOUSE) {
  const dir = mkdtempSync(join(tmpdir(), 'combline-'))
  made.push(dir)
  cpSync(from, dir, { recursive: true })
  return dir
}

// emptyFolder is a folder in which no house is yet.
export function emptyFolder() {
  const dir = mkdtempSync(join(tmpdir(), 'combline-'))
  made.push(dir)
  return dir
}

// serve opens the house in dir and waits until its pages are there.
export async function serve(dir, port = 0, ...more) {
  const child = spawn(program, ['open', dir, '--no-browser', '--listen', `127.0.0.1:${port}`, ...more], { stdio: ['ignore', 'pipe', 'pipe'] })
  let said = ''
  const gone = new Promise((done) => child.on('exit', done))
  const url = await new Promise((done, fail) => {
    const look = (b) => {
      said += b
      const found = said.match(/http:\/\/127\.0\.0\.1:\d+/)
      if (found) done(found[0])
    }
    child.stdout.on('data', look)
    child.stderr.on('data', look)
    gone.then(() => fail(new Error(`the program ended: ${said}`)))
  })
  const end = (signal) => async () => { child.kill(signal); await gone }
  return { url, dir, port: Number(new URL(url).port), stop: end('SIGTERM'), kill: end('SIGKILL') }
}

// browse starts a browser that asks nobody outside for anything.
export const browse = () => chromium.launch({
  executablePath: process.env.CHROMIUM || '/usr/bin/chromium',
  args: ['--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking',
    '--disable-component-update', '--disable-sync', '--disable-extensions', '--no-default-browser-check'],
})

// tablet is a browser of its own, as a device in the house: who sits at it, how large.
export async function tablet(browser, site, { size = sizes.tablet, person = 'owner', ...more } = {}) {
  const context = await browser.newContext({ viewport: size, locale: 'en-GB', reducedMotion: 'reduce', baseURL: site.url, ...more })
  context.setDefaultTimeout(60_000) // the machine may be busy with something else
  if (person) await context.addCookies([{ name: 'person', value: person, url: site.url }])
  const page = await context.newPage()
  return page
}

const run = promisify(execFile)

// write writes a fact of the house from the command line.
export const write = (dir, ...fact) => run(program, ['record', ...fact, '--house', dir, '--person', 'owner'])

// facts are all facts of the house, as the record holds them. It may be open meanwhile.
export async function facts(dir) {
  const { stdout } = await run(program, ['ledger', 'export', '--house', dir], { maxBuffer: 1 << 28 })
  return stdout.trim().split('\n').map((line) => JSON.parse(line)).filter((x) => x.readable).map((x) => ({ seq: x.seq, ...x.readable }))
}

// taps are what a finger does on the pages of the house in a folder.
export function taps(dir) {
  // follow taps what leads to another page.
  const follow = async (page, target) => {
    const from = page.url()
    await target.first().click()
    await page.waitForFunction((from) => location.href !== from && document.querySelector('.foot'), from)
  }
  const tab = (page, name) => follow(page, page.locator(`nav.flow a:has-text("${name}")`))
  const pick = (page, field, value) => page.locator(`label.pick:has([name="${field}"][value="${value}"])`).first().click()

  // typed fills in a figure with the keys on the screen, or by keyboard in the office.
  const typed = async (page, field, figures) => {
    await page.locator(`label:has([name="${field}"])`).first().click()
    const keys = page.locator('.pad [data-k="1"]')
    if (await keys.count() && await keys.first().isVisible()) {
      for (const k of figures) await page.locator(`.pad [data-k="${k}"]`).click()
    } else {
      await page.fill(`[name="${field}"]`, figures)
    }
    assert.equal(await page.inputValue(`[name="${field}"]`), figures)
  }

  // save taps what saves and answers yes when it is asked back.
  const save = async (page) => {
    const was = (await facts(dir())).length
    const button = () => page.locator('main form.entry .answer button[name=confirm]:visible, main form.entry .pinask button:visible, main form.entry button.go:visible, main form.entry .pad .save:visible').first()
    for (let i = 0; i < 4 && (await facts(dir())).length === was; i++) {
      for (const id of ['#pin-new', '#pin-again', '#pin']) if (await page.locator(`.pinask ${id}`).count()) await page.fill(`.pinask ${id}`, '2580')
      await page.evaluate(() => { document.documentElement.dataset.old = '1' })
      await button().click()
      await page.waitForFunction(() => !document.documentElement.dataset.old && document.querySelector('.foot'))
      const wrong = await page.locator('.answer.stop[role=alert]:not(.pinask)').allInnerTexts()
      assert.deepEqual(wrong, [], await page.locator('main form.entry .answer, [aria-invalid] ~ *, .problem').allInnerTexts().then((all) => all.join(' | ')))
    }
    assert.ok((await facts(dir())).length > was, `nothing was recorded on ${page.url()}`)
  }
  return { follow, tab, pick, typed, save }
}
