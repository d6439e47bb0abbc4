/*
 * A bar above the flagged items to filter and to sort them. The page is whole without it, and what is filtered away or folded
 * is still printed: half a review on paper would look like a whole one.
 */
"use strict";
/* What is folded is printed too. */
window.addEventListener("beforeprint", function () {
	document.querySelectorAll("details.fold").forEach(function (fold) { fold.open = true; });
});
(function () {
	var section = document.getElementById("flagged");
	var flags = Array.from(section.querySelectorAll("article.flag"));
	if (flags.length < 2)
		return;
	var groups = Array.from(section.querySelectorAll("h3.group"));
	var printed = Array.from(section.children).filter(function (child) {
		return flags.includes(child) || groups.includes(child);
	});
	var certainties = ["firm", "borderline", "screening", "disputed"];

	function items(flag) {
		return Array.from(flag.querySelectorAll("table.items > tbody"));
	}

	function add(parent, name, words, attributes) {
		var element = document.createElement(name);
		element.textContent = words || "";
		Object.keys(attributes || {}).forEach(function (key) {
			element.setAttribute(key, attributes[key]);
		});
		return parent.appendChild(element);
	}

	/* ---- the bar ---- */

	var bar = document.createElement("form");
	bar.className = "choose";
	bar.setAttribute("role", "search");
	bar.setAttribute("aria-label", "Filter and sort the flagged items");
	section.insertBefore(bar, printed[0]);

	var actions = add(bar, "fieldset");
	add(actions, "legend", "Action");
	var boxes = ["Resolve", "Justify", "Consider"].filter(function (action) {
		return flags.some(function (flag) { return flag.dataset.action === action; });
	}).map(function (action) {
		var label = add(actions, "label");
		var box = add(label, "input", "", { type: "checkbox", value: action });
		box.checked = true;
		label.append(" " + action);
		return box;
	});

	function field(words, name, attributes) {
		var label = add(bar, "label", "", { "class": "field" });
		add(label, "span", words);
		return add(label, name, "", attributes);
	}

	function choice(words, options) {
		var select = field(words, "select");
		options.forEach(function (option) {
			add(select, "option", option[1], { value: option[0] });
		});
		return select;
	}

	function valuesOf(key) {
		var seen = new Set();
		flags.forEach(function (flag) {
			items(flag).forEach(function (item) { seen.add(item.dataset[key]); });
		});
		return Array.from(seen);
	}

	function anyOr(values) {
		return [["", "any"]].concat(values.map(function (value) { return [value, value]; }));
	}

	var words = field("Item, rule or word", "input", { type: "search", autocomplete: "off", spellcheck: "false" });
	var operatingCase = choice("Case", anyOr(valuesOf("case")));
	var certainty = choice("Certainty", anyOr(certainties.filter(function (word) {
		return valuesOf("certainty").includes(word);
	})));
	var order = choice("Order", [["printed", "gravest first, then flow"], ["rule", "by rule"],
		["items", "most items first"], ["certainty", "firmest first"]]);
	var all = add(bar, "button", "Show all", { type: "button" });
	var status = add(bar, "p", "", { role: "status" });

	/* ---- filtering ---- */

	/* What is said of a rule and of all its items: everything but its tables. */
	var sayings = new Map(flags.map(function (flag) {
		return [flag, Array.from(flag.children).filter(function (child) {
			return !child.matches(".region");
		}).map(function (child) { return child.textContent; }).join(" ").toLowerCase()];
	}));

	function wanted(flag, item, text) {
		return (!operatingCase.value || item.dataset.case === operatingCase.value) &&
			(!certainty.value || item.dataset.certainty === certainty.value) &&
			(!text || item.textContent.toLowerCase().includes(text) || sayings.get(flag).includes(text));
	}

	function filter() {
		var text = words.value.trim().toLowerCase(), rules = 0, shown = 0, total = 0;
		var chosen = boxes.filter(function (box) { return box.checked; }).map(function (box) { return box.value; });
		flags.forEach(function (flag) {
			var any = false;
			items(flag).forEach(function (item) {
				var show = chosen.includes(flag.dataset.action) && wanted(flag, item, text);
				item.classList.toggle("away", !show);
				any = any || show;
				shown += show;
				total++;
			});
			flag.classList.toggle("away", !any);
			rules += any;
		});
		showGroups();
		status.textContent = shown === total ? "All " + total + " findings are shown." :
			shown + " of " + total + " findings are shown, under " + rules + " of " + flags.length +
			" rules. Paper shows all.";
	}

	/* The headings of the actions, where they part the list and have anything below them. */
	function showGroups() {
		groups.forEach(function (group) {
			var next = group.nextElementSibling, any = false;
			for (; next && next.matches("article.flag"); next = next.nextElementSibling)
				any = any || !next.classList.contains("away");
			group.classList.toggle("away", !any || order.value !== "printed");
		});
	}

	/* ---- sorting ---- */

	var places = new Map(flags.map(function (flag, index) { return [flag, index]; }));
	var measures = {
		rule: function (flag) { return flag.dataset.rule; },
		items: function (flag) { return -items(flag).length; },
		certainty: function (flag) {
			return Math.min.apply(null, items(flag).map(function (item) {
				return certainties.indexOf(item.dataset.certainty);
			}));
		},
	};

	function sort() {
		var measure = measures[order.value];
		var sorted = measure ? groups.concat(flags.slice().sort(function (a, b) {
			var x = measure(a), y = measure(b);
			return x < y ? -1 : x > y ? 1 : places.get(a) - places.get(b);
		})) : printed;
		sorted.forEach(function (element) { section.appendChild(element); });
		showGroups();
	}

	function reset() {
		boxes.forEach(function (box) { box.checked = true; });
		words.value = operatingCase.value = certainty.value = "";
		filter();
	}

	/* A link to something that is filtered away shows it again. */
	function reveal() {
		var target = location.hash && document.getElementById(decodeURIComponent(location.hash.slice(1)));
		if (target && target.closest(".away")) {
			reset();
			target.scrollIntoView();
		}
	}

	bar.addEventListener("input", filter);
	order.addEventListener("change", sort);
	all.addEventListener("click", reset);
	bar.addEventListener("submit", function (event) { event.preventDefault(); });
	window.addEventListener("hashchange", reveal);
	window.addEventListener("beforeprint", function () {
		order.value = "printed";
		sort();
	});
	filter();
})();
