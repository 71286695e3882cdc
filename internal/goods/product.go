package goods

import (
	"maps"
	"slices"

	"combline/internal/record"
)

// A Product is something made and sold under a name: label, promises, claims of
// origin, allergens are the fact's.
type Product struct {
	*record.ProductNamed
	Stamp
}

// A Recipe is how a product is made from a day on.
type Recipe struct {
	*record.RecipeSet
	Stamp
}

// A Customer buys.
type Customer struct {
	*record.CustomerNamed
	Stamp
}

// A Supplier sells to the house.
type Supplier struct {
	*record.SupplierNamed
	Stamp
}

// Product returns a product as it was named last.
func (g *Goods) Product(c record.Code) (Product, bool) {
	p, ok := g.products[c.Fold()]
	return p, ok
}

// Products lists the products by code.
func (g *Goods) Products() []Product {
	var all []Product
	for _, k := range slices.Sorted(maps.Keys(g.products)) {
		all = append(all, g.products[k])
	}
	return all
}

// Recipe returns how a product was made on a day: as set last by its evening.
func (g *Goods) Recipe(product record.Code, day record.Day) (Recipe, bool) {
	list := g.recipes[product.Fold()]
	for i := len(list) - 1; i >= 0; i-- {
		if list[i].Day() <= day {
			return list[i], true
		}
	}
	return Recipe{}, false
}

// Customer returns a customer.
func (g *Goods) Customer(c record.Code) (Customer, bool) {
	v, ok := g.customers[c.Fold()]
	return v, ok
}

// Customers lists the customers by code.
func (g *Goods) Customers() []Customer {
	var all []Customer
	for _, k := range slices.Sorted(maps.Keys(g.customers)) {
		all = append(all, g.customers[k])
	}
	return all
}

// Supplier returns a supplier.
func (g *Goods) Supplier(c record.Code) (Supplier, bool) {
	v, ok := g.suppliers[c.Fold()]
	return v, ok
}

// Suppliers lists the suppliers by code.
func (g *Goods) Suppliers() []Supplier {
	var all []Supplier
	for _, k := range slices.Sorted(maps.Keys(g.suppliers)) {
		all = append(all, g.suppliers[k])
	}
	return all
}
