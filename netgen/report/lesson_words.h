// What a lesson says around its data. Internal to report/.
#pragma once

#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "study/lesson.h"

namespace splitstart
{

struct LessonWords {
    std::string title;
    std::string sees;              // what there is to see, a short paragraph
    std::string_view formula;      // MathML inside <math>
    std::string_view formulaText;  // the same for who has no MathML
    std::vector<std::pair<std::string, std::string>> symbols;  // symbol, what it is
    std::vector<std::string> books;  // author, title, chapter; what is from memory says so
    std::string question;
    std::string answer;  // its numbers are the lesson's own
};

// Throws std::out_of_range for a lesson that is not known here.
LessonWords lessonWords(const Lesson& lesson);

}  // namespace splitstart
