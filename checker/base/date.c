#include "base/date.h"

#include <stdlib.h>
#include <string.h>

static const double SECONDS_OF_A_DAY = 86400;

static bool is_leap(long year)
{
	return (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
}

static int days_of_month(long year, long month)
{
	static const int days[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
	return month == 2 && is_leap(year) ? 29 : days[month - 1];
}

/* Days from 1970-01-01 to the first of the month; years 0 to 9999. */
static double days_before(long year, long month)
{
	const long before_1970 = 719528; /* days from the first of January of the year 0 */
	long last = year - 1, days = 365 * year + (year > 0 ? last / 4 - last / 100 + last / 400 + 1 : 0);
	for (long m = 1; m < month; m++)
		days += days_of_month(year, m);
	return (double)(days - before_1970);
}

/* Digits where the shape has `d`, and itself elsewhere, as far as the text goes: to the end of one of its parts. */
static bool has_shape(const char *written, size_t length)
{
	static const char shape[] = "dddd-dd-dd";
	if (length != 4 && length != 7 && length != sizeof shape - 1)
		return false;
	for (size_t i = 0; i < length; i++)
		if (shape[i] == 'd' ? written[i] < '0' || written[i] > '9' : written[i] != shape[i])
			return false;
	return true;
}

bool date_read(const char *written, struct date *date)
{
	size_t length = strlen(written);
	if (!has_shape(written, length))
		return false;
	long year = strtol(written, NULL, 10), month = 1, day = 1;
	double days = is_leap(year) ? 366 : 365;
	if (length > 4) {
		month = strtol(written + 5, NULL, 10);
		if (month < 1 || month > 12)
			return false;
		days = days_of_month(year, month);
	}
	if (length > 7) {
		day = strtol(written + 8, NULL, 10);
		if (day < 1 || day > days_of_month(year, month))
			return false;
		days = 1;
	}
	*date = (struct date){
		.middle = days_before(year, month) + (double)(day - 1) + days / 2, .half_width = days / 2};
	return true;
}

double date_apart(const struct date *from, const struct date *to, double *uncertainty)
{
	*uncertainty = (from->half_width + to->half_width) * SECONDS_OF_A_DAY;
	return (to->middle - from->middle) * SECONDS_OF_A_DAY;
}

bool date_is_before(const struct date *one, const struct date *other)
{
	return one->middle + one->half_width <= other->middle - other->half_width;
}
