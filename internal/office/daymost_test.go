package office_test

import (
	"context"
	"fmt"
	"testing"

	"combline/internal/record"
)

// Orders by the hundred, as a table brings them in: the plan looks at those due first and
// says how many it leaves out. Sums by hand: 600 jars are packed, 100 to an order.
func TestPlanLooksAtTheFirstOfManyOrders(t *testing.T) {
	d := packed(t)
	var many []record.Fact
	for i := range 200 {
		many = append(many, order(record.Code(fmt.Sprintf("M%03d", i)), 100, 9))
	}
	d.write(day(9, 30), many...)
	v, err := d.AsOf(context.Background(), day(12, 0))
	if err != nil {
		t.Fatal(err)
	}
	p, err := d.PlanDays(context.Background(), v, day(12, 0), nil)
	if err != nil {
		t.Fatal(err)
	}
	if len(p.Orders) != 48 || p.Orders[0].Cover.Order.Code != "M006" || len(p.Orders)+p.Beyond != 194 {
		t.Errorf("%d lines from %s on, %d beyond; 600 jars fill the first six of 200", len(p.Orders), p.Orders[0].Cover.Order.Code, p.Beyond)
	}
}
