// A lesson as JSON and as a page of HTML.
#pragma once

#include <string>

#include "report/json.h"
#include "report/report_page.h"
#include "study/lesson.h"

namespace splitstart
{

// All that the lesson's runs gave, position by position. Decks by name only; the page hands them
// out whole.
Json lessonJson(const Lesson& lesson);

// The page, with lessonJson() in it as the element "lesson-data". Every position is in it, in an
// element of the class "position"; all but the standard one are hidden. Without scripts the
// standard one is shown, and the table of all.
std::string lessonPage(const Lesson& lesson, const PageMaking& making);

}  // namespace splitstart
