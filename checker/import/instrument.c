#include "import/instrument.h"

#include <string.h>

#include "base/text.h"

enum { FEWEST = 3, MOST = 7 };

/* Letters that come after what is measured. */
static const char functions[] = "IRCASTEHLYGZO", measured[] = "FLPTAQ";

static bool is_valve(const char *letters, size_t count)
{
	return letters[count - 1] == 'V' || (count > 1 && letters[count - 1] == 'E' && letters[count - 2] == 'S');
}

struct instrument instrument_read(const char *tag)
{
	const char *letters = tag + strspn(tag, "0123456789");
	struct instrument out = {.is = false};
	letters += letters > tag && *letters == '-';
	size_t count = strspn(letters, "ABCDEFGHIJKLMNOPQRSTUVWXYZ");
	const char *number = letters + count + strspn(letters + count, "- ");
	if (count < FEWEST || count > MOST || !*number || !strchr("0123456789", *number) ||
		!strchr(measured, *letters) || is_valve(letters, count))
		return out;
	bool difference = letters[1] == 'D' && strchr("PT", *letters);
	size_t rest = difference || (letters[1] == 'F' && *letters == 'F') || letters[1] == 'Q' ? 2 : 1;
	if (strspn(letters + rest, functions) != count - rest || rest == count)
		return out;
	const char *end = letters + count - 1;
	size_t lows = 0, highs = 0;
	for (; end > letters && *end == 'L'; end--)
		lows++;
	for (; end > letters && *end == 'H'; end--)
		highs++;
	bool safety = memchr(letters + rest, 'Z', count - rest) != NULL;
	out = (struct instrument){.is = true,
		.measures = difference && *letters == 'P' ? 'D'
			: *letters == 'Q'		  ? 'A'
							  : *letters,
		.low = lows > 0,
		.high = highs > 0,
		.trips = lows > 1 || highs > 1 || safety};
	return out;
}
