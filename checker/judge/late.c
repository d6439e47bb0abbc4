#include "judge/late.h"

#include "base/text.h"

const char *const late_names[] = {"deviation-state", "deviation-lacks", "claim-answer", "claim-words", "claim-found",
	"claim-against", "beside-catalogue", "looser-than", NULL};

bool late_asked_for(const struct rule_input *inputs, size_t count)
{
	bool late = false;
	for (size_t i = 0; late_names[i]; i++)
		for (size_t k = 0; k < count; k++)
			late = late || text_is(inputs[k].quantity, late_names[i]);
	return late;
}
