#include "case/parts.h"

#include <algorithm>

#include "case/text.h"

namespace splitstart
{

const CatalogPart* PartsList::find(const std::string& id) const
{
    const auto found = std::find_if(parts.begin(), parts.end(), [&id](const CatalogPart& part) {
        return equalIgnoringCase(part.id, id);
    });
    return found == parts.end() ? nullptr : &*found;
}

}  // namespace splitstart
