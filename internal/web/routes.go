package web

import "net/http"

// routes is every page of the house. A page that records answers GET with its form and
// POST on the same address.
func (s *Server) routes() http.Handler {
	m := http.NewServeMux()
	m.Handle("GET /asset/", s.assets)
	m.HandleFunc("GET /news", s.news)

	get := func(path string, serve func(*visit) error) { m.Handle("GET "+path, s.page(serve)) }
	post := func(path string, serve func(*visit) error) { m.Handle("POST "+path, s.page(serve)) }
	both := func(path string, serve func(*visit) error) { get(path, serve); post(path, serve) }

	get("/{$}", (*visit).first)
	get("/setup", (*visit).setup)
	both("/setup/{step}", (*visit).setupStep)
	get("/rules", (*visit).houseRules)
	both("/bring-in", (*visit).bringIn)
	get("/bring-in/empty", (*visit).emptyTable)
	get("/watch", (*visit).watchList)
	get("/stock", (*visit).stock)
	get("/trace", (*visit).trace)
	s.floorRoutes(get, both)
	get("/blend", (*visit).blend)
	both("/blend/for", (*visit).blendFor)
	post("/blend/stop", (*visit).blendStop)
	get("/blend/two", (*visit).blendTwo)
	get("/blend/plan", (*visit).blendPlan)
	get("/fill", (*visit).fill)
	get("/send", (*visit).send)
	both("/send/pick", (*visit).pick)
	get("/send/note", (*visit).note)
	get("/orders", (*visit).orders)
	get("/products", (*visit).products)
	get("/materials", (*visit).materials)
	get("/complaints", (*visit).complaints)
	get("/photo", (*visit).photo)
	get("/thing", (*visit).thing)
	get("/house", (*visit).menu)
	both("/people", (*visit).choose)
	post("/look", (*visit).look)
	both("/do/{task}", (*visit).do)
	both("/undo", (*visit).undo)
	get("/vessel", (*visit).vessel)
	get("/warm", (*visit).warm)
	get("/holds", (*visit).holds)
	get("/recall", (*visit).recall)
	get("/recall/report", (*visit).recallReport)
	get("/history", (*visit).history)
	get("/balance", (*visit).balance)
	get("/cost", (*visit).cost)
	get("/settle", (*visit).settlement)
	get("/prices", (*visit).prices)
	both("/correct", (*visit).correct)
	both("/settings", (*visit).settings)
	get("/papers", (*visit).papers)
	get("/papers/register", (*visit).registerOf)
	get("/papers/drums", (*visit).drumRegister)
	get("/papers/statement", (*visit).statement)
	both("/write", (*visit).write)
	get("/devices", (*visit).devices)
	post("/devices/code", (*visit).showCode)
	both("/pair", (*visit).pair)
	both("/pin", (*visit).pinPage)
	post("/lock", (*visit).lockNow)
	get("/", func(*visit) error { return errNotFound })
	return m
}
