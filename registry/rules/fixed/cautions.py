"""The fixed warnings: shown where something is entered that can hurt a fish or a person. They give no doses."""

PAPERS = (
    "Permits and CITES papers are kept here as they were given, and what is done is counted against them. Which "
    "papers an act needs, and which code applies to a fish, the law of the country decides: ask the authority."
)
PERMITS = (
    "Taking, holding and moving protected fish needs permits. Check that yours cover this fish, this place and this "
    "day before you enter it; the register does not stand in for a permit. Local law decides."
)
ANAESTHETICS = (
    "If the fish is anaesthetised, follow the licensed veterinarian, the product's label and local law, waiting times "
    "included. Clean needles and implanters between fish as the disinfectant's label says."
)
MEDICINES = (
    "Product, amount, way and waiting time are decided by the licensed veterinarian and the label valid here; the "
    "register writes down what was given and proposes nothing. Wear what the label asks for. Local law decides."
)
BIOSECURITY = (
    "Work from healthy fish to quarantine, never back: own nets, own tools, own water, hands and boots disinfected as "
    "the label says. A notifiable disease is reported at once. The veterinarian and local law decide."
)
LIQUID_NITROGEN = (
    "Liquid nitrogen burns on contact, and its vapour drives out the air: ventilate, watch the oxygen alarm, wear face "
    "shield and cryogenic gloves, and never work alone. Follow the supplier's safety sheet and local law."
)
