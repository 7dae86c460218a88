/* A slider that shows what each route costs at a chosen quantity. The page is whole without it. */
(function () {
  "use strict";
  var source = document.getElementById("curves"), explorer = document.getElementById("explorer");
  if (!source || !explorer) { return; }
  var data = JSON.parse(source.textContent);
  explorer.parentNode.insertBefore(explorer.content.cloneNode(true), explorer);
  var input = document.getElementById("quantity"), chosen = document.getElementById("chosen");
  var finding = document.getElementById("finding");
  var body = document.querySelector(".explorer tbody");

  function costAt(points, quantity) {
    var low = 0, high = points.length - 1;
    if (quantity < points[0][0] || quantity > points[high][0]) { return null; }
    while (high - low > 1) {
      var middle = (low + high) >> 1;
      if (points[middle][0] <= quantity) { low = middle; } else { high = middle; }
    }
    var a = points[low], b = points[high];
    if (a[0] === b[0] || quantity === a[0]) { return a[1]; }
    return a[1] + (b[1] - a[1]) * (quantity - a[0]) / (b[0] - a[0]);
  }
  function text(amount, digits) {
    return amount.toLocaleString("en-GB", { minimumFractionDigits: digits, maximumFractionDigits: digits });
  }
  function cell(row, name, value, figure) {
    var made = document.createElement(name);
    if (name === "th") { made.scope = "row"; }
    if (figure) { made.className = "figure"; }
    made.textContent = value;
    row.appendChild(made);
  }
  function show() {
    var quantity = Number(input.value);
    var found = data.routes.map(function (route) {
      return { name: route.name, holds: route.holds, cost: costAt(route.points, quantity) };
    });
    found.sort(function (a, b) {
      return (a.cost === null ? Infinity : a.cost) - (b.cost === null ? Infinity : b.cost);
    });
    body.textContent = "";
    found.forEach(function (each) {
      var row = body.insertRow(), known = each.cost !== null;
      cell(row, "th", each.name + (each.holds ? "" : ", cannot be signed"));
      cell(row, "td", known ? text(each.cost, 0) : "\u2013", true);
      cell(row, "td", known ? text(each.cost / quantity, 2) : "\u2013", true);
    });
    var best = found.filter(function (each) { return each.holds && each.cost !== null; })[0];
    chosen.textContent = text(quantity, 0);
    finding.textContent = best
      ? best.name + " costs least at " + text(quantity, 0) + ": " + text(best.cost, 0) + " " + data.currency + "."
      : "No route can be signed for so many.";
  }
  input.max = data.last;
  input.value = data.likely;
  input.addEventListener("input", show);
  show();
}());
