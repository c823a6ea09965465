/**
 * Physical quantities as records, with the unit in the type.
 *
 * <p>Purpose: a bare number never crosses a package border, so stops can't be taken for mired.
 * Inputs: numbers in the unit that each record names. Guarantees: values are finite and within the
 * range stated by the record; a value outside is refused with an {@link
 * java.lang.IllegalArgumentException} that names the rule and the value. Records are comparable by
 * value and free of state.
 */
@NullMarked
package samelight.engine.quantity;

import org.jspecify.annotations.NullMarked;
